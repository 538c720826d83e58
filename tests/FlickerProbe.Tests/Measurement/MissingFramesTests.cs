using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Frames that are missing under even time stamps are told by the bands, and nothing else is taken for them.</summary>
public class MissingFramesTests
{
    private const int Frames = 200, Rows = 90;

    private static LightMatrix Bands(double x, double nu, double amplitude, double noise, int[] missingBefore, double overtone = 0)
    {
        var normal = new NormalNoise(5);
        return Planes.Of(Frames, Rows, (n, r) =>
        {
            double cycles = x * (n + missingBefore.Count(m => m <= n)) + nu * r;
            return 1 + amplitude * (Math.Cos(2 * Math.PI * cycles) + overtone * Math.Cos(4 * Math.PI * cycles)) + noise * normal.Next();
        });
    }

    private static SensorClock Even => new([.. Enumerable.Range(0, Frames)], [.. Enumerable.Range(0, Frames)], 25, 1e-4, []);

    private static SensorClock? Reopened(LightMatrix matrix) => MissingFrames.Reopened(Even, matrix, FirstLook.At(matrix));

    // A hundred hertz at 23.976 frames, at half a band and at three; two tones; a single frame, frames next to each other, six places.
    [Theory]
    [InlineData(0.171, 0.006, 0, 60)]
    [InlineData(0.171, 0.033, 0.3, 60, 130)]
    [InlineData(-0.332, 0.02, 0, 20, 55, 90, 125, 150, 190)]
    [InlineData(0.171, 0.02, 0.2, 100, 100)]
    [InlineData(0.45, 0.02, 0, 50, 140)]
    public void Gaps_are_opened_where_frames_are_missing(double x, double nu, double overtone, params int[] missingBefore)
    {
        SensorClock? found = Reopened(Bands(x, nu, 0.2, 0.02, missingBefore, overtone));
        Assert.NotNull(found);
        Assert.Equal(Enumerable.Range(0, Frames).Select(n => n + missingBefore.Count(m => m <= n)), found.Ticks);
        Assert.Contains(found.Findings, f => f.Code == FindingCodes.DroppedFrames && f.Message.StartsWith($"{missingBefore.Length} frame", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(0.171, 0.02, 0.2, 0.02)] // a steady tone
    [InlineData(0.171, 0.02, 0.002, 0.05)] // hardly a tone
    [InlineData(0.004, 0.02, 0.2, 0.02)] // bands that hardly move
    [InlineData(0.171, 0.0005, 0.2, 0.02)] // no bands
    [InlineData(0.171, 0.02, 0, 0.05)] // noise alone
    public void A_clip_that_lacks_nothing_is_left_alone(double x, double nu, double amplitude, double noise) =>
        Assert.Null(Reopened(Bands(x, nu, amplitude, noise, [])));

    [Fact]
    public void Bands_that_jump_by_what_no_missing_frame_does_are_left_alone()
    {
        var normal = new NormalNoise(6);
        // A third of a cycle; one to four missing frames would make 0.02, 0.04, 0.06 or 0.08 of one.
        LightMatrix matrix = Planes.Of(Frames, Rows, (n, r) => 1 + 0.2 * Math.Cos(2 * Math.PI * (0.02 * n + 0.02 * r + (n >= 100 ? 0.33 : 0))) + 0.01 * normal.Next());
        Assert.Null(Reopened(matrix));
    }

    [Fact]
    public void One_frame_that_strays_is_no_gap()
    {
        LightMatrix matrix = Planes.Of(Frames, Rows, (n, r) => 1 + 0.2 * Math.Cos(2 * Math.PI * (0.171 * (n == 80 ? 79 : n) + 0.02 * r)));
        Assert.Null(Reopened(matrix));
    }
}
