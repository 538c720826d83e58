using FlickerProbe.Camera;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Units;
using FlickerProbe.Verdict;
using Xunit;

namespace FlickerProbe.Tests.Prediction;

public class ForecasterTests
{
    private static readonly BlindSpot Sharp = TestLights.Take("25", 1 / 8000.0, 0.0001);

    /// <summary>Depth of a 0/1 pulse train through an exposure, by opening a shutter at 20 000 moments of the period and adding up the light.</summary>
    private static double BruteForceDepth(double hz, double duty, double exposure)
    {
        double cycles = hz * exposure, max = 0, min = double.PositiveInfinity;
        for (int i = 0; i < 20_000; i++)
        {
            double light = LightUpTo(i / 20_000.0 + cycles) - LightUpTo(i / 20_000.0);
            max = Math.Max(max, light);
            min = Math.Min(min, light);
        }
        return (max - min) / (max + min);
        double LightUpTo(double x) => Math.Floor(x) * duty + Math.Min(duty, x - Math.Floor(x));
    }

    [Theory] // Closed form, worst phase: f Te = n + r; max = nd + min(r, d), min = nd + max(0, r + d − 1). Values recomputed from that formula.
    [InlineData(325, 0.5, 50, 0.07692)]
    [InlineData(325, 0.5, 60, 0.07692)]
    [InlineData(300, 0.5, 50, 0)]
    [InlineData(300, 0.5, 60, 0)]
    [InlineData(1000, 0.1, 48, 0.02439)]
    [InlineData(4000, 0.1, 48, 0.00599)]
    [InlineData(25000, 0.1, 48, 0.00096)]
    [InlineData(25000, 0.1, 2000, 0.04)]
    public void Pulse_trains_through_an_exposure(double hz, double duty, double reciprocal, double depth)
    {
        Assert.Equal(depth, BruteForceDepth(hz, duty, 1 / reciprocal), 4);
        FormatForecast forecast = Forecaster.Forecast(TestLights.Pulses(hz, duty, 120, Sharp), TestLights.Format($"25@1/{reciprocal}"));
        // 120 overtones leave a rest of the order 1/120 of the pulse in the waveform's corners.
        Assert.Equal(depth, forecast.ModulationDepth.Value, depth < 0.01 ? 4 : 3);
    }

    [Theory] // Any text on sampling; the values are sinc(f Te), recomputed.
    [InlineData(100, "25@1/120", 0.190986)]
    [InlineData(100, "25@1/50", 0)]
    [InlineData(120, "25@1/50", 0.126138)]
    [InlineData(120, "24@1/48", 0.127324)]
    [InlineData(240, "25@1/250", 0.041557)]
    [InlineData(1000, "30@1/2000", 0.636620)]
    [InlineData(100, "29.97@1/100", 0)]
    public void A_sine_keeps_the_gain_of_its_exposure(double hz, string format, double gain) =>
        Assert.Equal(0.5 * gain, Forecaster.Forecast(TestLights.Sine(hz, 0.5, Sharp), TestLights.Format(format)).ModulationDepth.Value, 0.6e-6);

    [Fact]
    public void Overtones_of_one_group_keep_their_phases()
    {
        // |sin|: Fourier series 2/(4m² − 1) with all minima at one place; full-wave rectified, depth 1 at a very short exposure.
        LightComponent[] rectified = [.. Enumerable.Range(1, 40).Select(m => TestLights.Tone(100 * m, 2.0 / (4.0 * m * m - 1), Math.PI, 1, m))];
        Assert.Equal(1, Forecaster.Forecast(TestLights.Of(rectified, Sharp), TestLights.Format("25@1/8000")).ModulationDepth.Value, 1);

        // The same amplitudes without phases meet at the worst phase: never less.
        LightComponent[] loose = [.. rectified.Take(3).Select(c => c with { PhaseRadians = null })];
        double known = Forecaster.Forecast(TestLights.Of(rectified[..3], Sharp), TestLights.Format("25@1/500")).ModulationDepth.Value;
        double unknown = Forecaster.Forecast(TestLights.Of(loose, Sharp), TestLights.Format("25@1/500")).ModulationDepth.Value;
        Assert.True(unknown > known);
    }

    [Fact]
    public void Two_unrelated_lights_meet_at_their_worst()
    {
        LightEstimate two = TestLights.Of([TestLights.Tone(100, 0.2, group: 1), TestLights.Tone(1300, 0.1, group: 2)], Sharp);
        double expected = 0.2 * Math.Abs(ExposureGain.At(100, 0.001)) + 0.1 * Math.Abs(ExposureGain.At(1300, 0.001));
        Assert.Equal(expected, Forecaster.Forecast(two, TestLights.Format("25@1/1000")).ModulationDepth.Value, 6);
    }

    [Fact]
    public void Doubts_of_amplitude_frequency_and_shutter_widen_the_interval()
    {
        LightComponent tone = TestLights.Tone(100, 0.5) with { Amplitude = new Estimate(0.5, 0.45, 0.56) };
        FormatForecast sharp = Forecaster.Forecast(TestLights.Of([tone], Sharp), TestLights.Format("25@1/120"));
        double hidden = sharp.Hidden.Depth;
        Assert.Equal(0.45 * 0.190986, sharp.ModulationDepth.Low, 4);
        Assert.Equal(0.56 * 0.190986 + hidden, sharp.ModulationDepth.High, 4);

        // At a null the linear error would be 0 ± something; the shutter's 0.5 % leaves up to a·1.96·0.5 %.
        FormatForecast atNull = Forecaster.Forecast(TestLights.Sine(100, 0.5, Sharp), TestLights.Format("25@1/100", 0.005));
        Assert.Equal(0, atNull.ModulationDepth.Value, 9);
        Assert.InRange(atNull.ModulationDepth.High - atNull.Hidden.Depth, 0.0047, 0.0051);
    }

    [Fact]
    public void Each_frequency_that_fits_counts_with_what_is_known_of_it()
    {
        // 100 and 125 Hz over 1/50 s: nothing of the one is left, 0.127 of the other; neither may be what lies between them.
        LightComponent tone = new(new Estimate(100, 99.99, 125.01), Estimate.Exactly(0.3), null, ComponentState.Ambiguous, [100, 125], null, null) { CandidateHalfWidthHz = 0.01 };
        Estimate known = Depth(tone), anything = Depth(tone with { CandidateHalfWidthHz = null });
        double gain = Math.Abs(ExposureGain.At(125, 1 / 50.0));
        Assert.Equal(0.3 * gain * ExposureGain.At(100, 1 / 8000.0) / ExposureGain.At(125, 1 / 8000.0), known.High, 0.002);
        Assert.True(known.Low < 0.001 && known.Low >= 0);
        Assert.True(anything.High > known.High + 0.001, $"{anything} against {known}");

        static Estimate Depth(LightComponent tone) =>
            Forecaster.Forecast(new LightEstimate(null, tone.CandidatesHz, null, null, [tone], [Sharp]), TestLights.Format("25@1/50")).ModulationDepth;
    }

    [Fact]
    public void Ambiguous_components_count_with_the_worst_candidate()
    {
        // Seen at 1/250 and 25 frames a second: 100 Hz or 125 Hz. At 1/100 the one is hidden, the other is not.
        BlindSpot take = TestLights.Take("25", 1 / 250.0, 0.0005);
        LightComponent tone = new(Estimate.Exactly(100), Estimate.Exactly(0.3), null, ComponentState.Ambiguous, [100, 125], null, null);
        FormatForecast forecast = Forecaster.Forecast(TestLights.Of([tone], take), TestLights.Format("25@1/100"));
        double source = 0.3 * ExposureGain.At(100, 1 / 250.0) / ExposureGain.At(125, 1 / 250.0);
        Assert.Equal(source * Math.Abs(ExposureGain.At(125, 0.01)), forecast.ModulationDepth.Value, 6);
        Assert.Equal(0, forecast.ModulationDepth.Low, 6);
        Assert.Contains(forecast.Doubts, d => d.Code == FindingCodes.AmbiguousFrequency);
    }

    [Fact]
    public void Overtones_of_doubtful_frequency_may_all_be_hidden_at_once()
    {
        // Pulses of 1000 Hz under a global shutter at 1/640: 41 Hz and its overtones look the same. At 1/250 nothing shows of the one series, and the other makes it dark.
        BlindSpot take = TestLights.Take("30", 1 / 640.0, 0.0005);
        LightComponent[] series = [.. new[] { 0.5, 0.4, 0.4, 0.3, 0.3 }.Select((amplitude, n) => new LightComponent(
            Estimate.Exactly(41 * (n + 1)), new Estimate(amplitude, amplitude, 2), null, ComponentState.Ambiguous, [41 * (n + 1), 1000 * (n + 1)], 0, n + 1))];
        Estimate depth = Forecaster.Forecast(TestLights.Of(series, take), TestLights.Format("30@1/250")).ModulationDepth;
        Assert.Equal(1, depth.Value);
        Assert.Equal(0, depth.Low, 3);
    }

    [Fact]
    public void The_forecast_at_the_measured_setting_returns_the_measurement()
    {
        const double exposure = 1 / 250.0;
        double onCamera = 0.4 * Math.Abs(ExposureGain.At(217, exposure));
        LightEstimate light = TestLights.Sine(217, onCamera / Math.Abs(ExposureGain.At(217, exposure)), TestLights.Take("25", exposure));
        Assert.Equal(onCamera, Forecaster.Forecast(light, TestLights.Format("25@1/250")).ModulationDepth.Value, 9);
    }

    [Fact]
    public void A_difference_of_two_lights_may_fill_the_troughs_of_both()
    {
        const double a = 0.25, b = 0.15, d = 0.3;
        LightComponent difference = new(Estimate.Exactly(5.7), Estimate.Exactly(d), null, ComponentState.Resolved, [5.7], null, null);
        LightEstimate light = TestLights.Of([TestLights.Tone(100, a, group: 1), TestLights.Tone(105.7, b, group: 2), difference], TestLights.Take("59.94", 1e-5));
        Estimate depth = Forecaster.Forecast(light, TestLights.Format("59.94@1/100000")).ModulationDepth;
        for (double phase = 0; phase < 2 * Math.PI; phase += 0.3)
        {
            double max = 0, min = 2;
            for (double first = 0; first < 2 * Math.PI; first += 0.1)
            {
                for (double second = 0; second < 2 * Math.PI; second += 0.1)
                {
                    double now = 1 + a * Math.Cos(first) + b * Math.Cos(second) + d * Math.Cos(second - first + phase);
                    (max, min) = (Math.Max(max, now), Math.Min(min, now));
                }
            }
            Assert.InRange(Waveform.ModulationDepth(max, min), depth.Low, depth.High);
        }
    }

    [Fact]
    public void A_take_at_the_very_setting_replaces_the_forecast()
    {
        LightEstimate light = TestLights.Sine(217, 0.4, TestLights.Take("25", 1 / 250.0));
        TakeMeasurement take = new(TestLights.Format("25@1/250"), 100, 100, new SignalLevel(0.5, 0.6, 0, 0), new Estimate(0.0042, 0.0040, 0.0044), null, 0.0008, 0.2, null,
            [new Tone(Estimate.Exactly(-8), Estimate.Exactly(3), Estimate.Exactly(0.0042), 0, null, [])], []);
        FormatForecast direct = Forecaster.Forecast(light, TestLights.Format("25@1/250"), [take]);
        Assert.True(direct.IsDirect);
        Assert.Equal(0.0042, direct.ModulationDepth.Value);
        Assert.Equal(0.0050, direct.ModulationDepth.High, 9); // value + detection limit
        Assert.False(Forecaster.Forecast(light, TestLights.Format("25@1/200"), [take]).IsDirect);
    }

    [Fact]
    public void Beats_bands_and_appearance()
    {
        FormatForecast rolling = Forecaster.Forecast(TestLights.Sine(120, 0.5, Sharp), TestLights.Format("25@1/100@16ms"));
        Assert.Equal([5], rolling.BeatHz);
        Assert.Equal(1.92, rolling.Bands!.Value, 9);
        Assert.Equal(Appearance.RollingBands, rolling.Appearance);

        Assert.Equal(Appearance.StandingBands, Forecaster.Forecast(TestLights.Sine(100, 0.5, Sharp), TestLights.Format("25@1/120@16ms")).Appearance);
        Assert.Equal(Appearance.Pulsing, Forecaster.Forecast(TestLights.Sine(120, 0.5, Sharp), TestLights.Format("25@1/100@global")).Appearance);
        Assert.Equal(Appearance.RollingOrPulsing, Forecaster.Forecast(TestLights.Sine(120, 0.5, Sharp), TestLights.Format("25@1/100")).Appearance);
        FormatForecast still = Forecaster.Forecast(TestLights.Sine(120, 0.5, Sharp), TestLights.Format("25@1/100@16ms") with { Rate = FrameRate.OfStill });
        Assert.Equal(Appearance.Bands, still.Appearance);
        Assert.Empty(still.BeatHz);
        FormatForecast hidden = Forecaster.Forecast(TestLights.Sine(100, 0.5, Sharp), TestLights.Format("25@1/50@16ms"));
        Assert.Equal(Appearance.Nothing, hidden.Appearance);
        Assert.Empty(hidden.BeatHz);
        Assert.Null(hidden.Bands);
    }

    [Theory] // Frame mean of a rolling picture: 2000 rows of each of 300 frames averaged, then the Fourier amplitude at the beat.
    [InlineData(120, -5, "25@1/100@16ms")]
    [InlineData(217, -8, "25@1/250@9ms")]
    [InlineData(100, 10, "30@1/500@global")]
    public void Pulsing_is_what_averaging_all_rows_leaves(double hz, double beatHz, string text)
    {
        CameraFormat format = TestLights.Format(text);
        double w = 2 * Math.PI * hz, te = format.Exposure!.Seconds;
        System.Numerics.Complex sum = 0;
        for (int n = 0; n < 300; n++)
        {
            double mean = 0;
            for (int r = 0; r < 2000; r++)
            {
                double start = n * format.Rate.PeriodSeconds + (r + 0.5) / 2000 * format.Readout!.Seconds;
                mean += 0.3 * (Math.Sin(w * (start + te)) - Math.Sin(w * start)) / (w * te) / 2000;
            }
            sum += mean * System.Numerics.Complex.FromPolarCoordinates(2.0 / 300, -2 * Math.PI * beatHz * n * format.Rate.PeriodSeconds);
        }
        Assert.Equal(sum.Magnitude, Forecaster.Forecast(TestLights.Sine(hz, 0.3, Sharp), format).PulsingDepth.Value, 1e-6);
    }

    [Fact]
    public void Pulsing_with_an_unknown_readout_is_the_worst_that_any_readout_allows()
    {
        FormatForecast unknown = Forecaster.Forecast(TestLights.Sine(120, 0.3, Sharp), TestLights.Format("25@1/100"));
        FormatForecast fast = Forecaster.Forecast(TestLights.Sine(120, 0.3, Sharp), TestLights.Format("25@1/100@2ms"));
        Assert.Equal(fast.PulsingDepth.Value, unknown.PulsingDepth.Value, 9);
        Assert.Equal(0, unknown.PulsingDepth.Low);
    }

    [Fact]
    public void A_large_slow_beat_brings_a_caution_for_viewers()
    {
        FormatForecast flashing = Forecaster.Forecast(TestLights.Sine(110, 0.9, Sharp), TestLights.Format("25@1/250@4ms")); // beats at 10 Hz
        Assert.Contains(flashing.Doubts, d => d.Code == FindingCodes.ViewerFlashHazard);
        Assert.Contains(Judge.Format(flashing, Policy.Default).Reasons, r => r.Code == FindingCodes.ViewerFlashHazard);
        FormatForecast calm = Forecaster.Forecast(TestLights.Sine(110, 0.03, Sharp), TestLights.Format("25@1/250@4ms"));
        Assert.DoesNotContain(calm.Doubts, d => d.Code == FindingCodes.ViewerFlashHazard);
    }

    [Fact]
    public void Standing_bands_with_a_faint_rolling_tone_are_no_flash()
    {
        LightEstimate two = TestLights.Of([TestLights.Tone(100, 0.6, group: 1), TestLights.Tone(110, 0.01, group: 2)], Sharp);
        FormatForecast forecast = Forecaster.Forecast(two, TestLights.Format("25@1/250@16ms"));
        Assert.True(forecast.ModulationDepth.Value > 0.4);
        Assert.Contains(10, forecast.BeatHz);
        Assert.DoesNotContain(forecast.Doubts, d => d.Code == FindingCodes.ViewerFlashHazard);
    }

    [Fact]
    public void A_hidden_component_counts_in_the_upper_end_only()
    {
        LightComponent hidden = TestLights.Tone(100, 0) with { State = ComponentState.Hidden, Amplitude = new Estimate(0.2, 0, 0.4), PhaseRadians = null };
        FormatForecast forecast = Forecaster.Forecast(TestLights.Of([hidden], Sharp), TestLights.Format("25@1/120"));
        Assert.Equal(0, forecast.ModulationDepth.Value);
        Assert.Equal(0, forecast.ModulationDepth.Low);
        Assert.Equal(0.4 * 0.190986 + forecast.Hidden.Depth, forecast.ModulationDepth.High, 1e-5);
    }

    [Fact] // JCGM 101:2008, propagation by simulation: true amplitude, frequency and shutter drawn around what the forecast was given.
    public void The_interval_holds_the_truth_as_often_as_it_says()
    {
        Random random = new(20);
        double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        int held = 0;
        const int trials = 400;
        for (int trial = 0; trial < trials; trial++)
        {
            double hz = 90 + 1500 * random.NextDouble(), duty = 0.1 + 0.8 * random.NextDouble(), exposure = 1 / (40 + 400 * random.NextDouble());
            List<LightComponent> measured = [];
            List<Cosine> truth = [];
            double trueExposure = exposure * (1 + 0.005 * Normal()), trueHz = hz * (1 + 1e-4 * Normal());
            for (int m = 1; m <= 5; m++)
            {
                double amplitude = 2 * Math.Sin(Math.PI * m * duty) / (Math.PI * m * duty), deviation = 0.002 + 0.02 * Math.Abs(amplitude);
                double phase = amplitude < 0 ? Math.PI : 0;
                Estimate seen = Estimate.Normal(Math.Abs(amplitude) + deviation * Normal(), deviation).Within(0, 2);
                measured.Add(TestLights.Tone(m * hz, 0, phase, 1, m) with { Amplitude = seen, FrequencyHz = Estimate.Normal(m * hz, m * hz * 1e-4) });
                truth.Add(new Cosine(m, amplitude * ExposureGain.At(m * trueHz, trueExposure), 0));
            }
            double depth = Waveform.ModulationDepth(Waveform.Sample(truth));
            FormatForecast forecast = Forecaster.Forecast(TestLights.Of(measured, TestLights.Take("25", exposure, 1e-6)),
                new CameraFormat(FrameRate.Parse("25"), ExposureTime.FromSeconds(exposure), null));
            if (forecast.ModulationDepth.Holds(depth)) held++;
        }
        // Binomial scatter of 400 trials at 95 %: ± 2.1 %.
        Assert.InRange(held, 0.93 * trials, 0.995 * trials);
    }
}
