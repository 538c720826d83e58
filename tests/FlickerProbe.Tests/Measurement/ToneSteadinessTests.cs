using System.Numerics;
using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Tones whose phase is steady, and tones in whose clip frames are missing under even time stamps.</summary>
public class ToneSteadinessTests
{
    private const int Frames = 240, Rows = 90;
    private const double X = -0.1694, Nu = 0.0072; // 99.57 Hz at 119.88 frames a second

    /// <summary>The fitted tone and the standard deviation, in cells, that is said of its alias; a frame is missing before each of these frames.</summary>
    private static (double ErrorCells, double CorrectedCells, double SaidCells) Fit(params int[] missingBefore)
    {
        var normal = new NormalNoise(11);
        LightMatrix matrix = Planes.Of(Frames, Rows, (n, r) => 1 + 0.2 * Math.Cos(2 * Math.PI * (X * (n + missingBefore.Count(m => m <= n)) + Nu * r)) + 0.004 * normal.Next());
        double[] weights = LineWeights.Even(Rows);
        ToneFit fit = ToneFit.Of(matrix, weights, [new PlaneTone(X, Nu, new Complex(0.1, 0))], 6, 8);
        ToneSteadiness.Wander wander = ToneSteadiness.Of(matrix, fit, fit.Tones[0]);
        Assert.Equal(0.2, wander.Gain * fit.Tones[0].Amplitude, 0.01);
        double error = (fit.Tones[0].X - X) * Frames;
        return (Math.Abs(error), Math.Abs(error + wander.Shift), wander.Deviation);
    }

    [Fact]
    public void A_steady_tone_stands() => Assert.Equal(0, Fit().SaidCells);

    [Theory]
    [InlineData(120)]
    [InlineData(80, 150)]
    [InlineData(60, 110, 170)]
    public void Missing_frames_are_seen_and_what_they_did_to_the_alias_is_put_right(params int[] missingBefore)
    {
        (double error, double corrected, double said) = Fit(missingBefore);
        Assert.InRange(error, 0.05, 5); // else nothing was to be seen
        Assert.InRange(corrected, 0, 0.2 * error);
        Assert.True(corrected < 1.96 * said, FormattableString.Invariant($"off by {corrected:0.000} cells, said {said:0.000}"));
    }
}
