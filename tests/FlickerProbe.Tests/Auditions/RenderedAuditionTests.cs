using FlickerProbe.Files.Auditions;
using FlickerProbe.Files.Results;
using FlickerProbe.Measurement;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Auditions;

/// <summary>End to end: rendered clips of known light in, results out. Truth is the renderer's recipe.</summary>
public class RenderedAuditionTests(RenderedEvening evening) : IClassFixture<RenderedEvening>
{
    private const string Sweep = """
          - name: Pulser
            takes:
              - { clip: steps.mp4, camera: hall, shutter: 1/1000, sweep: [100%, 75%, 50%, 35%, 25%, 15%], region: [40, 10, 240, 160] }
        """;

    [Fact]
    public void A_sweep_of_six_levels_gives_frequency_and_depth_at_each()
    {
        AuditionOutcome outcome = evening.Run(evening.Audition(Sweep));
        Assert.Empty(outcome.Failures);
        FixtureResult fixture = Assert.Single(outcome.Result.Fixtures);
        Assert.Equal(RenderedEvening.Levels, fixture.Levels.Select(l => l.Dimmer!.Value));
        for (int i = 0; i < fixture.Levels.Count; i++)
        {
            LevelResult level = fixture.Levels[i];
            Estimate depth = Assert.NotNull(level.Light.ModulationDepth), hertz = Assert.NotNull(level.Light.FundamentalHz);
            Assert.True(hertz.Holds(RenderedEvening.Hertz), $"{level.Dimmer}: {hertz}");
            Assert.InRange(hertz.Value, RenderedEvening.Hertz - 0.02, RenderedEvening.Hertz + 0.02);
            Assert.InRange(depth.Value, RenderedEvening.Amplitude * 0.95, RenderedEvening.Amplitude * 1.05);
            TakeResult take = Assert.Single(level.Takes);
            // Most of the hold is used and nothing of a fade: 25 frames a second.
            Assert.InRange(take.Frames, 25 * (RenderedEvening.Holds[i] - 0.9), 25 * RenderedEvening.Holds[i] + 1);
        }
        // Each part has its own place on the signal scale, from the brightest down.
        double[] means = [.. fixture.Levels.Select(l => l.Takes[0].Level.Mean)];
        Assert.Equal(means.OrderDescending(), means);
        Assert.InRange(means[0], 0.65, 0.75); // 0.7 of the scale by the recipe
    }

    [Fact]
    public void A_wrong_number_of_levels_is_refused_with_data_for_a_picture()
    {
        AuditionOutcome outcome = evening.Run(evening.Audition(Sweep.Replace(", 15%]", "]", StringComparison.Ordinal)));
        TakeFailure failure = Assert.Single(outcome.Failures);
        Assert.Contains("lists 5 levels but the clip shows 6 steady stretches", failure.Message, StringComparison.Ordinal);
        Assert.Equal("watch", outcome.Result.Fixtures[0].Verdict);
        byte[] png = SweepPlot.Draw("steps.mp4", failure.Sweep!).ToPng();
        Assert.Equal([0x89, (byte)'P', (byte)'N', (byte)'G'], png[..4]);
    }

    [Fact]
    public void Stretches_given_by_hand_are_taken_as_they_are()
    {
        string byHand = Sweep.Replace("[100%, 75%, 50%, 35%, 25%, 15%]", "[100%, 75%], stretches: [[0.52, 4.52], [5.8, 9]]", StringComparison.Ordinal);
        FixtureResult fixture = Assert.Single(evening.Run(evening.Audition(byHand)).Result.Fixtures);
        Assert.Equal([100, 80], fixture.Levels.Select(l => l.Takes[0].Frames));
    }

    [Fact]
    public void Takes_at_two_rates_together_tell_a_frequency_that_neither_tells_alone()
    {
        const string both = """
              - name: Pulser
                takes:
                  - { clip: right.mp4, camera: hall, shutter: 1/1000, dimmer: 100%, region: [40, 10, 240, 160] }
                  - { clip: slow.mp4, camera: hall, shutter: 1/320, dimmer: 100%, region: [40, 10, 240, 160] }
            """;
        LevelResult fused = evening.Run(evening.Audition(both, "unknown")).Result.Fixtures[0].Levels[0];
        foreach (TakeResult take in fused.Takes) Assert.True(take.Tones[0].CandidatesHz.Count > 1, "this take alone should be ambiguous: its readout is unknown");
        Assert.Contains(fused.Light.CandidatesHz, f => Math.Abs(f - RenderedEvening.Hertz) < 0.05);
        Assert.True(fused.Light.CandidatesHz.Count < fused.Takes.Min(t => t.Tones[0].CandidatesHz.Count));
    }

    [Fact]
    public void A_wrong_shutter_in_the_file_contradicts_the_other_take()
    {
        // slow.mp4 was shot at 1/320, where 437.3 Hz keeps 0.21 of its depth; at the 1/1000 written here it would keep 0.71.
        const string wrong = """
              - name: Pulser
                takes:
                  - { clip: right.mp4, camera: hall, shutter: 1/1000, dimmer: 100%, region: [40, 10, 240, 160] }
                  - { clip: slow.mp4, camera: hall, shutter: 1/1000, dimmer: 100%, region: [40, 10, 240, 160] }
            """;
        FixtureResult told = evening.Run(evening.Audition(wrong)).Result.Fixtures[0];
        Assert.NotEqual("pass", told.Verdict);
        Assert.Contains(AllReasons(told), r => r.Code == FindingCodes.ContradictingTakes);
        FixtureResult right = evening.Run(evening.Audition(wrong.Replace("slow.mp4, camera: hall, shutter: 1/1000", "slow.mp4, camera: hall, shutter: 1/320", StringComparison.Ordinal))).Result.Fixtures[0];
        Assert.DoesNotContain(AllReasons(right), r => r.Code == FindingCodes.ContradictingTakes);
    }

    [Fact]
    public void Two_takes_of_different_lights_contradict_each_other()
    {
        const string pair = """
              - name: Mixed up
                takes:
                  - { clip: right.mp4, camera: hall, shutter: 1/1000, dimmer: 100%, region: [40, 10, 240, 160] }
                  - { clip: steady.mp4, camera: hall, shutter: 1/1000, dimmer: 100%, region: [40, 10, 240, 160] }
            """;
        FixtureResult told = evening.Run(evening.Audition(pair)).Result.Fixtures[0];
        Assert.NotEqual("pass", told.Verdict);
        Assert.Contains(AllReasons(told), r => r.Code == FindingCodes.ContradictingTakes);
    }

    [Fact]
    public void A_second_run_measures_nothing_and_gives_the_same_bytes()
    {
        Audition audition = evening.Audition(Sweep);
        foreach (string clip in Directory.GetFiles(evening.Folder, "*.mp4")) File.SetLastWriteTimeUtc(clip, DateTime.UtcNow.AddHours(-1));
        var cache = new TakeCache(evening.Folder, TimeProvider.System);
        ResultDocument first = evening.Run(audition, cache).Result;
        AuditionOutcome second = evening.Run(evening.Audition(Sweep.Replace("name: Pulser", "name: Pulser\n    price: 12 EUR", StringComparison.Ordinal)), cache);
        // Its time is measured by the benchmarks, where nothing else runs.
        Assert.Equal(1, second.FromCache);
        ResultDocument again = second.Result with { Created = first.Created, Fixtures = [second.Result.Fixtures[0] with { Price = null }] };
        Assert.Equal(ResultJson.Write(first), ResultJson.Write(again));
    }

    private static IEnumerable<ReasonResult> AllReasons(FixtureResult fixture) =>
        fixture.Reasons.Concat(fixture.Levels.SelectMany(l => l.Formats).SelectMany(f => f.Reasons)).Concat(fixture.Levels.SelectMany(l => l.Takes).SelectMany(t => t.Warnings));
}
