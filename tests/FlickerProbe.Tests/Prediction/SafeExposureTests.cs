using FlickerProbe.Camera;
using FlickerProbe.Light;
using FlickerProbe.Prediction;
using FlickerProbe.Units;
using FlickerProbe.Verdict;
using Xunit;

namespace FlickerProbe.Tests.Prediction;

public class SafeExposureTests
{
    [Theory] // Flicker-free angle = 360° · frame rate · n / f: common practice; values recomputed.
    [InlineData("24", 100, new[] { 86.4, 172.8, 259.2, 345.6 })]
    [InlineData("24", 120, new[] { 72.0, 144, 216, 288, 360 })]
    [InlineData("25", 120, new[] { 75.0, 150, 225, 300 })]
    [InlineData("29.97", 100, new[] { 107.8921, 215.7842, 323.6763 })]
    [InlineData("30", 100, new[] { 108.0, 216, 324 })]
    [InlineData("59.94", 100, new[] { 215.7842 })]
    [InlineData("23.976", 100, new[] { 86.3137, 172.6274 })]
    [InlineData("23.976", 120, new[] { 71.9281, 143.8561, 359.6404 })]
    public void Whole_period_exposures_cancel_mains_ripple(string rateText, double hz, double[] degrees)
    {
        FrameRate rate = FrameRate.Parse(rateText);
        foreach (double angle in degrees)
        {
            double exposure = angle / 360 * rate.PeriodSeconds;
            // A take at that very exposure is what makes it safe; one at a fast shutter shows the ripple.
            LightEstimate light = TestLights.Sine(hz, 0.3, TestLights.Take(rateText, exposure, 0.0005), TestLights.Take(rateText, 1 / 1000.0, 0.0005));
            SafeExposures found = SafeExposures.Find([light], rate, ExposureTime.FromSeconds(exposure), ReadoutTime.FromSeconds(0.016), Policy.Default);
            SafeExposure safe = Assert.Single(found.Safe, s => Math.Abs(s.Exposure.Seconds / exposure - 1) < 1e-4);
            Assert.Equal(hz, safe.CancelledHz!.Value, 6);
            Assert.NotNull(safe.MainsToleranceHz);
        }
    }

    [Fact] // Near a null a relative error e leaves about |e| whatever the number of periods: recomputed; so the tolerance follows from amplitude and line.
    public void The_tolerance_to_mains_drift_is_what_the_pass_line_leaves()
    {
        const double amplitude = 0.4, limit = 0.0005;
        LightEstimate light = TestLights.Sine(100, amplitude, TestLights.Take("25", 0.02, limit), TestLights.Take("25", 0.001, limit));
        SafeExposure safe = SafeExposures.Find([light], FrameRate.Parse("25"), ExposureTime.FromSeconds(0.02), ReadoutTime.FromSeconds(0.016), Policy.Default).Safe[0];
        Assert.Equal(0.02, safe.Exposure.Seconds, 9);
        // Shutter scatter (1.96 · 0.5 %) and drift add up to (1 % − limit) / amplitude.
        double drift = (0.01 - limit) / amplitude - Estimate.Coverage95 * 0.005;
        Assert.Equal(drift * 100, safe.DriftToleranceHz!.Value, 0.05 * drift * 100 + 0.01);
        Assert.Equal(safe.DriftToleranceHz.Value / 2, safe.MainsToleranceHz!.Value, 9);
    }

    [Fact]
    public void An_exposure_is_safe_only_if_it_is_at_every_level()
    {
        BlindSpot[] takes = [TestLights.Take("25", 1 / 100.0, 0.0005), TestLights.Take("25", 1 / 120.0, 0.0005)];
        LightEstimate full = TestLights.Sine(100, 0.3, takes), dimmed = TestLights.Sine(120, 0.3, takes);
        SafeExposures fullOnly = SafeExposures.Find([full], FrameRate.Parse("25"), null, null, Policy.Default);
        SafeExposures both = SafeExposures.Find([full, dimmed], FrameRate.Parse("25"), null, null, Policy.Default);
        Assert.Contains(fullOnly.Safe, s => s.Label == "1/100 s");
        Assert.DoesNotContain(both.Safe, s => s.Label == "1/100 s");
    }

    [Fact]
    public void What_is_hidden_makes_an_exposure_worth_a_take_instead_of_safe()
    {
        LightEstimate light = TestLights.Sine(100, 0.3, TestLights.Take("25", 1 / 250.0, 0.0005));
        SafeExposures found = SafeExposures.Find([light], FrameRate.Parse("30"), null, null, Policy.Default);
        Assert.DoesNotContain(found.Safe, s => s.Label == "1/100 s");
        Assert.Contains(found.WorthATake, s => s.Label == "1/100 s");
    }

    [Fact] // A shutter that was shot and showed 60 % is no way out, though what nobody could see there is "up to 100 %" as well.
    public void A_shutter_that_shows_the_flicker_is_not_worth_a_take()
    {
        LightEstimate light = TestLights.Sine(325, 0.9, TestLights.Take("25", 1 / 250.0, 0.0005, locked: 1));
        SafeExposures found = SafeExposures.Find([light], FrameRate.Parse("25"), ExposureTime.FromSeconds(1 / 60.0), null, Policy.Default);
        Assert.DoesNotContain(found.WorthATake, s => s.ModulationDepth.Value >= 0.01);
        Assert.DoesNotContain(found.Safe, s => s.Label == "1/250 s");
    }

    [Fact]
    public void The_nearest_to_the_wanted_comes_first()
    {
        LightEstimate clean = TestLights.Nothing(StandardSettings.Shutters.Where(s => s.Seconds < 0.04).Select(s => TestLights.Take("25", s.Seconds!.Value, 0.0005)).ToArray());
        SafeExposures found = SafeExposures.Find([clean], FrameRate.Parse("25"), ExposureTime.FromSeconds(1 / 125.0), null, Policy.Default);
        Assert.Equal("1/125 s", found.Safe[0].Label);
        double[] distance = [.. found.Safe.Select(s => Math.Abs(Math.Log(s.Exposure.Seconds * 125)))];
        Assert.Equal(distance.Order(), distance);
    }
}
