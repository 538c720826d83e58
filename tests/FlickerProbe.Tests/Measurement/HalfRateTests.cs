using FlickerProbe.Rendering.Light;

namespace FlickerProbe.Tests.Measurement;

/// <summary>Light at half the frame rate: one picture bright, the next dark, and nothing that moves.</summary>
/// <remarks>At 48 frames a second 24, 72, 120 and 168 Hz all do that (sampling theorem); only the shading of one picture tells them apart, which a recording flattens.</remarks>
public class HalfRateTests
{
    [Theory]
    [InlineData(72, 0.004)]
    [InlineData(264, 0.004)]
    [InlineData(360, 0.004)]
    public void One_pictures_shading_leaves_the_neighbours_open(double hertz, double readoutSeconds)
    {
        Judged judged = Judged.Of(Scene(hertz, readoutSeconds));
        Assert.Contains(judged.Take.Tones[0].CandidatesHz, f => Math.Abs(f - hertz) < 0.1);
        Assert.True(judged.Take.Tones[0].CandidatesHz.Count > 1, $"{judged.Take.Tones[0].FrequencyHz}");
    }

    [Theory] // A fifth of a hertz off, the bands move a whole time over the height and more in the take.
    [InlineData(72.2, 0.004)]
    [InlineData(264.2, 0.004)]
    public void Where_it_moves_it_is_one(double hertz, double readoutSeconds) => Judged.Of(Scene(hertz, readoutSeconds)).Finds(hertz);

    private static SyntheticTake Scene(double hertz, double readoutSeconds) => new()
    {
        Light = new TonesLight { FundamentalHz = hertz, Harmonics = [new Harmonic(1, 0.06, 0.7)] }, Rate = "48", ExposureSeconds = 1 / 500.0, ReadoutSeconds = readoutSeconds, Frames = 240,
    };
}
