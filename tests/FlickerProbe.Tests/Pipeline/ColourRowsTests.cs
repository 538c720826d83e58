using FlickerProbe.Camera;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Tests.Decoding;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Pipeline;

/// <summary>What 4:2:0 takes from one colour is said and held by the intervals.</summary>
public sealed class ColourRowsTests : IDisposable
{
    private readonly Media _media = new();

    public void Dispose() => _media.Dispose();

    private ClipInfo Info(string format) => ClipProbe.Probe(_media.Clip(format + ".mkv", "64x48", 0.4, "-pix_fmt", format, "-c:v", "ffv1"));

    private static MeasuredChannel Channel(string name, double bands, double amplitude, double depth) => new(name, new TakeMeasurement(
        CameraFormat.Parse("25@1/250@16ms"), 250, 250, new SignalLevel(0.6, 0.7, 0, 0), new Estimate(depth, 0.9 * depth, 1.1 * depth), null, 0.001, 0.1, null,
        amplitude == 0 ? [] : [new Tone(Estimate.Exactly(5), Estimate.Exactly(bands), Estimate.Exactly(amplitude), 0, null, [100])], []));

    [Theory]
    [InlineData(2)]
    [InlineData(6)]
    public void Intervals_reach_as_far_as_the_rows_may_have_taken(double bands)
    {
        // Averaged by hand: a cosine over 48 rows, its mean over pairs of rows, and the straight lines between those means.
        double before = 0, after = 0;
        const int rows = 4800; // so that the phase does not matter
        double Light(int row) => Math.Cos(2 * Math.PI * bands * row / 48);
        double Pair(int row) => (Light(2 * (row / 2)) + Light(2 * (row / 2) + 1)) / 2;
        for (int row = 2; row < rows - 2; row++)
        {
            before += Light(row) * Light(row);
            after += Light(row) * (0.75 * Pair(row) + 0.25 * Pair(row % 2 == 0 ? row - 2 : row + 2));
        }
        double loss = 1 - after / before;

        MeasuredChannel[] measured = [Channel("red", 0, 0, 0.001), Channel("blue", bands, 0.1 * (1 - loss), 0.1 * (1 - loss))];
        IReadOnlyList<MeasuredChannel> widened = ColourRows.Widened(Info("yuv420p"), measured);

        Estimate tone = widened[1].Measurement.Tones[0].Amplitude;
        Assert.Equal(0.1, tone.High, 1e-4);
        Assert.Equal(measured[1].Measurement.Tones[0].Amplitude.Value, tone.Value);
        Assert.True(widened[1].Measurement.ModulationDepth!.Value.Holds(0.1));
        Assert.Equal(0, widened[0].Measurement.ModulationDepth!.Value.Low);
        Assert.Contains(widened[1].Measurement.Tones[0].Parts, p => p.Cause == "rows of colour");
    }

    [Theory]
    [InlineData("yuv422p")]
    [InlineData("yuv444p")]
    [InlineData("gbrp")]
    public void Where_colour_has_all_rows_nothing_changes(string format)
    {
        MeasuredChannel[] measured = [Channel("blue", 6, 0.1, 0.1)];
        Assert.Same(measured, ColourRows.Widened(Info(format), measured));
        Assert.Null(ColourRows.Finding(Info(format), measured, coloured: true));
    }

    [Fact]
    public void White_light_hears_of_it_only_where_it_costs_something_and_too_much_forbids_a_pass()
    {
        ClipInfo info = Info("yuv420p");
        Assert.Null(ColourRows.Finding(info, [Channel("blue", 1, 0.1, 0.1)], coloured: false));
        Assert.False(ColourRows.Finding(info, [Channel("blue", 1, 0.1, 0.1)], coloured: true)!.ForbidsPass);
        Assert.False(ColourRows.Finding(info, [Channel("blue", 3, 0.1, 0.1)], coloured: false)!.ForbidsPass);
        Assert.True(ColourRows.Finding(info, [Channel("blue", 10, 0.1, 0.1)], coloured: false)!.ForbidsPass);
        Assert.Contains("bands of fewer than 8 rows", ColourRows.Finding(info, [Channel("blue", 0, 0, 0)], coloured: true)!.Message, StringComparison.Ordinal);
    }
}
