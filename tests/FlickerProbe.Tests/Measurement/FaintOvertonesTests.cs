using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Overtones too faint to state still shape the waveform; those that hardly move are read beside the other tones.</summary>
public class FaintOvertonesTests
{
    private const int Frames = 175, Rows = 240;

    // Bands of 100 Hz, 16 ms from top to bottom; the alias is the test's to choose.
    private static LightMatrix Lamp(double fundamentalX, double third, double phase)
    {
        var normal = new NormalNoise(11);
        const double Nu = 100.0 * 0.016 / Rows;
        return Planes.Of(Frames, Rows, (n, r) => 1 + 0.05 * Math.Cos(2 * Math.PI * (fundamentalX * n + Nu * r))
            + third * Math.Cos(2 * Math.PI * 3 * (fundamentalX * n + Nu * r) + phase) + 0.003 * normal.Next());
    }

    /// <summary>Nothing under 2 % of the strongest tone is stated.</summary>
    private static readonly CompressionLoss Lossy = new(0.0002, 0.0002, 0, 0.015, 0.3, 0.017);

    [Theory]
    [InlineData(0.331)] // its third overtone moves by 1.2 cycles in the clip
    [InlineData(0.17)] // it stands free
    public void A_faint_overtone_is_read_at_its_place(double fundamentalX)
    {
        LightMatrix matrix = Lamp(fundamentalX, 0.0008, 2);
        ToneModel model = ToneModel.Build(matrix, FirstLook.At(matrix), Lossy, null, CancellationToken.None);
        Assert.DoesNotContain(model.Fit.Tones, t => t.Amplitude < 0.005);
        RecordedWaveform.Term term = Assert.Single(FaintOvertones.Of(matrix, model), t => t.A == 3);
        Assert.Equal(0.0008, term.Z.Magnitude, 4 * term.Deviation);
        Assert.InRange(term.Deviation, 1e-6, 1e-4);
        // Referred to the fundamental's phase it turns back to the phase it has in the light.
        RecordedWaveform.Term lead = WaveformTerms.Of(matrix, model)[0].Single(t => t.A == 1);
        Assert.Equal(0, Math.IEEERemainder(Math.Abs(term.Z.Phase - 3 * lead.Z.Phase) - 2, 2 * Math.PI), 0.15);
    }

    [Fact]
    public void What_stands_still_can_not_be_read()
    {
        LightMatrix matrix = Lamp(1 / 3.0, 0.0008, 2);
        ToneModel model = ToneModel.Build(matrix, FirstLook.At(matrix), Lossy, null, CancellationToken.None);
        Assert.DoesNotContain(FaintOvertones.Of(matrix, model), t => t.A == 3);
        Assert.False(FaintOvertones.CanBeRead(matrix, model, new PlaneTone(1, 0.02, default)));
    }
}
