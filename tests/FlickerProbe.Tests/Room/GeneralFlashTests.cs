using FlickerProbe.Room;
using Xunit;

namespace FlickerProbe.Tests.Room;

public class GeneralFlashTests
{
    /// <summary>Relative luminance of an 8-bit sRGB grey: IEC 61966-2-1.</summary>
    private static double Luminance(int code)
    {
        double v = code / 255.0;
        return v <= 0.04045 ? v / 12.92 : Math.Pow((v + 0.055) / 1.055, 2.4);
    }

    private static bool IsHazard(IReadOnlyList<int> codes)
    {
        double[] seconds = [.. codes.Select((_, i) => i / 30.0)];
        return GeneralFlash.IsHazard(seconds, [.. codes.Select(Luminance)]);
    }

    /// <summary>Two greys alternating for so many changes at 30 frames a second, then held for a second.</summary>
    private static List<int> Alternating(int from, int to, int changes, int framesEach = 1) =>
        [.. Enumerable.Range(0, changes + 1).SelectMany(i => Enumerable.Repeat(i % 2 == 0 ? from : to, framesEach)), .. Enumerable.Repeat(changes % 2 == 0 ? from : to, 30)];

    [Theory] // Cases as described in the open test media of J. B. Jordan (HCII 2025, LNCS 15780): f001 fails, c001 passes by count, l001 by luminance.
    [InlineData(64, 109, 7, true)]
    [InlineData(64, 109, 6, false)]
    [InlineData(64, 108, 7, false)]
    public void Published_patterns(int from, int to, int changes, bool hazard) => Assert.Equal(hazard, IsHazard(Alternating(from, to, changes)));

    [Fact] // WCAG 2.x: the darker image must be under 0.80. sRGB greys 231 → 0.799, 232 → 0.807 (recomputed).
    public void Bright_pictures_do_not_flash()
    {
        Assert.True(IsHazard(Alternating(231, 255, 9)));
        Assert.False(IsHazard(Alternating(232, 255, 9)));
    }

    [Fact]
    public void Slow_changes_are_no_hazard() => Assert.False(IsHazard(Alternating(0, 255, 20, framesEach: 6))); // five changes a second

    [Fact]
    public void A_slow_ramp_is_one_change()
    {
        double[] seconds = [.. Enumerable.Range(0, 60).Select(i => i / 60.0)];
        double[] ramp = [.. seconds.Select(t => 0.7 * t)];
        Assert.Equal(1, GeneralFlash.MostChangesInOneSecond(seconds, ramp));
    }
}
