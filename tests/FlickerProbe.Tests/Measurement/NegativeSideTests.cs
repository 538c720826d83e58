using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Verdict;

namespace FlickerProbe.Tests.Measurement;

/// <summary>What is no flicker must not become a tone, nor a fail: noise, steady light, people, switches, exposure.</summary>
public class NegativeSideTests
{
    private static readonly SyntheticTake Empty = new() { Rate = "30000/1001", Frames = 120, Rows = 64, ExposureSeconds = 1 / 250.0 };

    [Fact]
    public void White_noise_alone_gives_a_tone_once_in_a_thousand()
    {
        int tones = 0;
        for (int seed = 0; seed < 30; seed++)
        {
            // From a clean clip to a noisy one: the threshold goes with the noise.
            Judged judged = Judged.Of(Empty with { Seed = 500 + seed, RowNoise = seed % 3 == 0 ? 0.0003 : seed % 3 == 1 ? 0.002 : 0.01 });
            tones += judged.Take.Tones.Count;
            Assert.NotEqual(Ruling.Fail, judged.At("29.97@1/250").Ruling);
        }
        // One false peak in a thousand planes is what the threshold is set for; one in these thirty happens 3 times in 100 runs of other seeds, two hardly ever.
        Assert.InRange(tones, 0, 1);
    }

    [Theory]
    [InlineData("24000/1001")]
    [InlineData("30000/1001")]
    [InlineData("60000/1001")]
    public void Steady_light_passes_where_the_shutter_was_the_same(string rate)
    {
        Judged judged = Judged.Of(Empty with { Rate = rate, Frames = 200, RowNoise = 0.0004, Scene = (_, strip, down) => 1 + 0.2 * (down - 0.5) * (strip - 2) });
        Assert.Empty(judged.Take.Tones);
        Assert.Equal(0, judged.Take.ModulationDepth!.Value.Low);
        judged.IsRightAt($"{rate}@1/250");
    }

    /// <summary>A dark shape with soft edges that crosses the strips from left to right, taller than the region or only part of it; a head bobs by its steps.</summary>
    private static double Person(double t, int strip, double down, double crossings, double top, double bob)
    {
        double centre = -2 + 10 * (t * crossings / 4 % 1), across = (strip - centre) / 1.2, head = 1 / (1 + Math.Exp((top + bob * Math.Sin(9 * t) - down) / 0.03));
        return 1 - 0.6 * Math.Exp(-across * across) * head;
    }

    private static Judged Crossed(double crossings, double top, double bob, int rows = 64) =>
        Judged.Of(Empty with { Rows = rows, RowNoise = 0.001, Scene = (t, s, y) => Person(t, s, y, crossings, top, bob) });

    [Theory]
    [InlineData(1, -1)] // once, covering all rows
    [InlineData(1, 0.4)] // once, head within the region
    [InlineData(1.5, 0.2)]
    [InlineData(4, -1)] // back and forth in a hurry
    [InlineData(2.2, 0.6)]
    public void A_person_walking_through_is_no_light(double crossings, double top) => Crossed(crossings, top, bob: 0).ClaimsNothing();

    [Theory]
    [InlineData(4, 0.4, 0.05, 128)]
    [InlineData(2.2, 0.6, 0.05, 64)]
    [InlineData(4, 0.2, 0, 64)] // here the even pace of the crossings does it
    public void A_person_whose_head_bobs_is_no_light(double crossings, double top, double bob, int rows) => Crossed(crossings, top, bob, rows).ClaimsNothing();

    [Fact]
    public void A_person_is_no_fail_at_a_shorter_shutter_either() => Assert.NotEqual(Ruling.Fail, Crossed(4, 0.4, 0.05, 128).At("25@1/1000").Ruling);

    [Theory]
    [InlineData(1, 0.4, 128)]
    [InlineData(4, 0.4, 128)]
    [InlineData(2.2, 0.6, 64)]
    public void A_person_is_named_and_neither_failed_nor_passed(double crossings, double top, int rows)
    {
        Judged judged = Crossed(crossings, top, 0.05, rows);
        Assert.True(judged.Warns(FindingCodes.Motion) || judged.Warns(FindingCodes.Unexplained));
        foreach (string format in new[] { "29.97@1/250", "25@1/50" }) Assert.Equal(Ruling.Watch, judged.At(format).Ruling);
    }

    [Fact]
    public void A_person_in_a_view_of_less_than_a_band_is_no_beat_beside_a_drift()
    {
        // A dark bar with a flat top that walks across once; the readout is not told, so that its change may be less than a band of anything.
        double Bar(double t, int strip, double down)
        {
            if (down < 0.1 || t > 2) return 1;
            double left = -0.2 + 0.6 * t, covered = Math.Max(0, Math.Min(left + 0.2, (strip + 1) / 6.0) - Math.Max(left, strip / 6.0));
            return 1 - 0.1 * 6 * covered;
        }
        var scene = new SyntheticTake { Rate = "25", Frames = 154, Rows = 120, ExposureSeconds = 1 / 800.0, ReadoutSeconds = 0.011, KnowsReadout = false, RowNoise = 0.0008, Scene = Bar };
        Judged judged = Judged.Of(scene);
        Assert.Equal(0, judged.Take.ModulationDepth!.Value.Low);
        Assert.Equal(Ruling.Watch, judged.At("25@1/800").Ruling);
    }

    [Fact]
    public void A_person_does_not_hide_the_light()
    {
        SyntheticTake scene = Empty with { Light = Waveform.Sine(217, 0.1), ExposureSeconds = 1 / 500.0, Rows = 96, Scene = (t, s, y) => Person(t, s, y, 1, 0.4, 0.05) };
        Judged judged = Judged.Of(scene);
        Assert.Equal(scene.TrueDepth(scene.ExposureSeconds), judged.Finds(217).Amplitude.Value, 0.01);
        Assert.NotEqual(Ruling.Pass, judged.IsHonestAt("29.97@1/500").Ruling);
    }

    [Theory]
    [InlineData(1.3)]
    [InlineData(0.6)]
    [InlineData(3)]
    public void A_light_switched_in_the_middle_is_no_flicker(double after)
    {
        Judged judged = Judged.Of(Empty with { Gain = t => t < 2.1 ? 1 : after });
        judged.ClaimsNothing();
        Judgement judgement = judged.At("29.97@1/250");
        Assert.NotEqual(Ruling.Fail, judgement.Ruling);
        Assert.NotEqual(Ruling.Pass, judgement.Ruling); // the clip is no measurement of one light
    }

    [Theory]
    [InlineData(0.02)]
    [InlineData(0.1)]
    public void Steps_of_exposure_are_no_flicker(double step)
    {
        Judged judged = Judged.Of(Empty with { Gain = t => 1 + step * Math.Floor(t / 0.7) / 5 });
        judged.ClaimsNothing();
        Assert.NotEqual(Ruling.Fail, judged.At("29.97@1/250").Ruling);
    }

    [Fact]
    public void A_texture_that_trembles_is_no_light()
    {
        // Stabilisation or a shaky stand: the wall's grain moves by a fraction of a row, other on every frame.
        var normal = new NormalNoise(7);
        double[] shake = [.. Enumerable.Range(0, 200).Select(_ => 0.004 * normal.Next())];
        Judged judged = Judged.Of(Empty with { Scene = (t, s, y) => 1 + 0.05 * Math.Sin(2 * Math.PI * 7 * (y + shake[(int)(t * 29.97)]) + s) });
        judged.ClaimsNothing();
        Assert.NotEqual(Ruling.Fail, judged.At("29.97@1/250").Ruling);
    }

    [Fact]
    public void A_tone_too_faint_to_be_told_from_the_encoder_is_no_motion_but_is_held_by_limit_and_depth()
    {
        // 30 % of 100 Hz on camera, and 0.45 % of a fast ripple that an encoder might have made of it.
        var scene = new SyntheticTake
        {
            Light = new SumLight { Parts = [Waveform.Sine(100.03, 0.6), Waveform.Sine(1933.5, 0.257)] }, Rate = "59.94", ExposureSeconds = 1 / 1000.0, ReadoutSeconds = 0.005, RowNoise = 0.0002, Frames = 360,
        };
        TakeMeasurement Measured(bool lossless) => TakeEstimator.Measure(
            scene.Make() with { Traits = new RecordingTraits(0.2, 1.4, 0.5, 0.017, "h264", lossless) }, new EstimatorOptions(WithExhibit: false), CancellationToken.None);

        TakeMeasurement compressed = Measured(lossless: false), exact = Measured(lossless: true);
        double faint = exact.Tones.Min(t => t.Amplitude.Value);
        Assert.InRange(faint, 0.001, 0.005);
        Assert.True(compressed.Tones.Count < exact.Tones.Count);
        Assert.True(compressed.Blind.DetectionLimit >= faint, $"{faint} is not held by {compressed.Blind.DetectionLimit}");
        Assert.True(compressed.ModulationDepth!.Value.High >= scene.TrueDepth(scene.ExposureSeconds));
        Assert.DoesNotContain(compressed.Findings, f => f.Code == FindingCodes.Unexplained && f.ForbidsPass);
    }
}
