using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FlickerProbe.Prediction;

namespace FlickerProbe.Tests.Properties;

/// <summary>Curves, scales, waveforms and exposures: the algebra that the measurement stands on.</summary>
public class LightLaws
{
    [Law]
    internal void Codes_and_levels_are_two_ways_of_saying_one_thing(SignalScale scale, FsCheck.NonNegativeInt n)
    {
        int code = n.Get * 7919 % (scale.LargestCode + 1);
        Assert.Equal(code, scale.CodeOf(scale.LevelOf(code)), 1e-9 * scale.LargestCode);
        Assert.Equal(scale.LevelPerCode, scale.LevelOf(code + 1) - scale.LevelOf(code), 1e-12);
    }

    [Law]
    internal void More_signal_is_never_less_light(TransferFunction curve, FsCheck.NormalFloat a, FsCheck.NormalFloat b)
    {
        // Every level that a code can stand for, a little below black and above white.
        double low = -0.07 + Math.Abs(a.Get % 1.16), high = -0.07 + Math.Abs(b.Get % 1.16);
        if (low > high) (low, high) = (high, low);
        Assert.True(double.IsFinite(curve.ToLinear(low)) && double.IsFinite(curve.ToLinear(high)));
        Assert.True(curve.ToLinear(low) <= curve.ToLinear(high));
        Assert.Equal(0, curve.ToLinear(0), 1e-3);
    }

    [Law]
    internal void A_table_is_its_curve(TransferFunction curve, SignalScale scale)
    {
        double[] table = LightTable.Build(curve, scale, 0.7);
        Assert.Equal(scale.LargestCode + 1, table.Length);
        for (int code = 0; code < table.Length; code += 97) Assert.Equal(0.7 * curve.ToLinear(scale.LevelOf(code)), table[code]);
    }

    [Law]
    internal void Depth_and_index_are_ratios(Cosine[] wave, FsCheck.PositiveInt gain)
    {
        double[] samples = Waveform.Sample(wave);
        if (samples.Min() < 0.02) return; // a light that would go below zero is no light
        double[] more = [.. samples.Select(v => v * gain.Get / 16.0)];
        Assert.Equal(Waveform.ModulationDepth(samples), Waveform.ModulationDepth(more), 1e-12);
        Assert.Equal(Waveform.FlickerIndex(samples), Waveform.FlickerIndex(more), 1e-12);
        // The area above the mean can't be more than the whole, nor the index more than the depth.
        Assert.InRange(Waveform.FlickerIndex(samples), 0, Waveform.ModulationDepth(samples));
        // Where the period begins does not matter.
        double[] later = [.. samples.Skip(37), .. samples.Take(37)];
        Assert.Equal(Waveform.ModulationDepth(samples), Waveform.ModulationDepth(later), 1e-12);
        Assert.Equal(Waveform.FlickerIndex(samples), Waveform.FlickerIndex(later), 1e-12);
    }

    [Law]
    internal void The_mean_of_a_waveform_is_one(Cosine[] wave) => Assert.Equal(1, Waveform.Sample(wave).Average(), 1e-9);

    [Law]
    internal void An_exposure_never_adds_ripple(FsCheck.PositiveInt decihertz, FsCheck.PositiveInt microseconds)
    {
        double hz = decihertz.Get * 131 % 1_000_000 / 10.0 + 0.1, seconds = microseconds.Get * 17 % 40_000 * 1e-6 + 1e-6;
        double gain = ExposureGain.At(hz, seconds);
        Assert.InRange(Math.Abs(gain), 0, ExposureGain.Envelope(hz, seconds) + 1e-12);
        // Only the product of frequency and exposure counts.
        Assert.Equal(gain, ExposureGain.At(hz * 2, seconds / 2), 1e-9);
        // The slope is what a small change of the exposure does.
        double step = seconds * 1e-6;
        double slope = (ExposureGain.At(hz, seconds + step) - ExposureGain.At(hz, seconds - step)) / 2e-6;
        Assert.Equal(slope, ExposureGain.SlopePerRelativeExposure(hz, seconds), 1e-4 * Math.Max(1, hz * seconds));
    }

    [Law]
    internal void Turning_a_picture_keeps_its_rectangles(Orientation turn, FsCheck.PositiveInt w, FsCheck.PositiveInt h, FsCheck.NonNegativeInt at)
    {
        int width = w.Get % 64 + 2, height = h.Get % 48 + 2;
        (int shownWidth, int shownHeight) = turn.DisplayedSize(width, height);
        var region = new Region(at.Get % (shownWidth - 1), at.Get / 7 % (shownHeight - 1), 1 + at.Get % 2 % shownWidth, 1, null);
        if (region.X + region.Width > shownWidth) return;
        Region coded = turn.ToCoded(region, width, height);
        Assert.Equal(region.Width * region.Height, coded.Width * coded.Height);
        Assert.True(coded.X >= 0 && coded.Y >= 0 && coded.X + coded.Width <= width && coded.Y + coded.Height <= height);
        // The whole picture stays the whole picture.
        Assert.Equal(new Region(0, 0, width, height), turn.ToCoded(new Region(0, 0, shownWidth, shownHeight), width, height));
    }

    [Law]
    internal void A_row_is_the_sum_of_its_parts(byte[] codes, FsCheck.NonNegativeInt cut)
    {
        double[] table = LightTable.Build(TransferFunction.Bt709, new SignalScale(SignalRange.Limited, 8));
        var sums = new RowSums(table);
        int at = codes.Length == 0 ? 0 : cut.Get % codes.Length;
        double plain = 0;
        foreach (byte code in codes) plain += table[code];
        Assert.Equal(plain, sums.Of(codes), 1e-9);
        Assert.Equal(plain, sums.Of(codes.AsSpan(0, at)) + sums.Of(codes.AsSpan(at)), 1e-9);
    }

    [Law(60)]
    internal void A_shorter_exposure_can_only_show_more_of_a_sine(FrameRate rate, FsCheck.PositiveInt hz)
    {
        double f = 80 + hz.Get % 900;
        LightEstimate light = Prediction.TestLights.Sine(f, 0.3, Prediction.TestLights.Take("25", 1 / 8000.0, 0.0001));
        // Up to the first null the gain falls all the way.
        double longest = Math.Min(rate.PeriodSeconds, 0.99 / f), before = double.PositiveInfinity;
        for (int n = 1; n <= 8; n++)
        {
            FormatForecast forecast = Forecaster.Forecast(light, new CameraFormat(rate, ExposureTime.FromSeconds(longest * n / 8, 0), null));
            Assert.True(forecast.ModulationDepth.Value <= before + 1e-9);
            Assert.True(forecast.ModulationDepth.Low <= forecast.ModulationDepth.Value + 1e-12 && forecast.ModulationDepth.Value <= forecast.ModulationDepth.High + 1e-12);
            before = forecast.ModulationDepth.Value;
        }
    }
}
