using FlickerProbe.Files.Auditions;
using FlickerProbe.Files.Results;
using FlickerProbe.Measurement;

namespace FlickerProbe.Tests.Auditions;

public class AuditionEngineTests
{
    private const string TwoFixtures = """
        fixtures:
          - name: Steady
            price: 240 EUR
            mode: standard
            firmware: "2.1"
            notes: quiet fan
            more: { weight: 7 kg }
            takes:
              - { clip: steady-1.mp4, camera: hall, frame-rate: 25, shutter: 1/250, dimmer: 100% }
              - { clip: steady-2.mp4, camera: hall, frame-rate: 25, shutter: 1/250, sweep: [50%, 10%] }
          - name: Ripple
            takes:
              - { clip: ripple-1.mp4, camera: hall, frame-rate: 25, shutter: 1/250, dimmer: 100% }
              - { clip: ripple-2.mp4, camera: hall, frame-rate: 29.97, shutter: 1/320, dimmer: 100% }

        """;

    private static AuditionFolder Two(string steady2 = "120 0.0001", string ripple2 = "120 0.2")
    {
        var folder = new AuditionFolder();
        folder.Clip("steady-1.mp4", "120 0.0001");
        folder.Clip("steady-2.mp4", steady2);
        folder.Clip("ripple-1.mp4", "120 0.2");
        folder.Clip("ripple-2.mp4", ripple2);
        return folder;
    }

    [Fact]
    public void Takes_become_levels_and_levels_fixtures()
    {
        using AuditionFolder folder = Two();
        AuditionOutcome outcome = AuditionFolder.Run(folder.Audition(TwoFixtures), new FakeMeasurer());
        Assert.Empty(outcome.Failures);
        FixtureResult steady = outcome.Result.Fixtures[0], ripple = outcome.Result.Fixtures[1];
        Assert.Equal([1, 0.5, 0.1], steady.Levels.Select(l => l.Dimmer!.Value));
        Assert.Equal(("240 EUR", "standard", "2.1", "quiet fan; weight: 7 kg"), (steady.Price, steady.Mode, steady.Firmware, steady.Notes));
        LevelResult level = Assert.Single(ripple.Levels);
        Assert.Equal(2, level.Takes.Count);
        Assert.Equal(2, level.Formats.Count);
        Assert.Equal("hall", level.Formats[0].Camera);
        // 120 Hz through 1/120 s is nothing and through 1/60 s nothing: sin(π) = 0.
        Assert.True(level.Formats.All(f => f.ModulationDepth.Value < 0.005));
        Assert.InRange(level.Light.ModulationDepth!.Value.Value, 0.19, 0.21);
    }

    [Fact]
    public void The_verdict_is_the_worst_level_in_use()
    {
        using AuditionFolder folder = Two(steady2: "100 0.0001 0.2");
        Audition audition = folder.Audition(TwoFixtures);
        Assert.Equal("fail", AuditionFolder.Run(audition, new FakeMeasurer()).Result.Fixtures[0].Verdict);

        string used = TwoFixtures.Replace("    takes:\n      - { clip: steady", "    levels-used: [100%, 50%]\n    takes:\n      - { clip: steady", StringComparison.Ordinal);
        FixtureResult steady = AuditionFolder.Run(folder.Audition(used), new FakeMeasurer()).Result.Fixtures[0];
        Assert.NotEqual("fail", steady.Verdict);
        Assert.Equal("fail", steady.Levels.Single(l => l.Dimmer == 0.1).Verdict);
    }

    [Fact]
    public void A_level_in_use_without_a_take_never_passes()
    {
        using AuditionFolder folder = Two();
        string used = TwoFixtures.Replace("    takes:\n      - { clip: steady", "    levels-used: [100%, 25%]\n    takes:\n      - { clip: steady", StringComparison.Ordinal);
        FixtureResult steady = AuditionFolder.Run(folder.Audition(used), new FakeMeasurer()).Result.Fixtures[0];
        Assert.Equal("watch", steady.Verdict);
        Assert.Contains(steady.Reasons, r => r.Code == FindingCodes.MissingTake && r.Message.Contains("25 %", StringComparison.Ordinal));
        Assert.Equal("Shoot the fixture at 25 %: no take shows it yet.", steady.NextTake);
        Assert.Null(steady.SafeExposures);
        Assert.Empty(steady.Levels.Single(l => l.Dimmer == 0.25).Takes);
    }

    [Theory]
    [InlineData("broken", "holds no picture")]
    [InlineData(null, "is not there")]
    [InlineData("unsteady", "shows 1 steady stretch")]
    public void One_broken_take_is_reported_and_leaves_the_others(string? content, string says)
    {
        using AuditionFolder folder = Two();
        if (content is null) File.Delete(folder.File("steady-2.mp4"));
        else folder.Clip("steady-2.mp4", content);
        AuditionOutcome outcome = AuditionFolder.Run(folder.Audition(TwoFixtures), new FakeMeasurer());
        TakeFailure failure = Assert.Single(outcome.Failures);
        Assert.Equal(("Steady", "steady-2.mp4"), (failure.Fixture, failure.Clip));
        Assert.Contains(says, failure.Message, StringComparison.Ordinal);
        Assert.Equal(content == "unsteady", failure.Sweep is not null);

        FixtureResult steady = outcome.Result.Fixtures[0], ripple = outcome.Result.Fixtures[1];
        Assert.Equal("watch", steady.Verdict);
        Assert.Contains(steady.Reasons, r => r.Code == FindingCodes.MissingTake && r.Message.Contains(says, StringComparison.Ordinal));
        Assert.StartsWith("Put the take 'steady-2.mp4' right first.", steady.NextTake, StringComparison.Ordinal);
        Assert.Single(steady.Levels[0].Takes);
        Assert.Equal(2, ripple.Levels[0].Takes.Count);
    }

    [Fact]
    public void A_missing_second_take_of_a_level_forbids_its_pass()
    {
        using AuditionFolder folder = Two();
        folder.Clip("ripple-1.mp4", "120 0.00001");
        folder.Clip("ripple-2.mp4", "120 0.00001");
        FixtureResult whole = AuditionFolder.Run(folder.Audition(TwoFixtures), new FakeMeasurer()).Result.Fixtures[1];
        folder.Clip("ripple-2.mp4", "broken");
        FixtureResult open = AuditionFolder.Run(folder.Audition(TwoFixtures), new FakeMeasurer()).Result.Fixtures[1];
        Assert.NotEqual("fail", whole.Verdict);
        Assert.Equal("watch", open.Verdict);
        Assert.Equal("watch", open.Levels[0].Verdict);
        Assert.All(open.Levels[0].Formats, f => Assert.NotEqual("pass", f.Verdict));
        Assert.All(open.Levels[0].Formats, f => Assert.Contains(f.Reasons, r => r.Code == FindingCodes.MissingTake));
    }

    [Fact]
    public void A_wrong_shutter_in_the_file_is_found_by_the_evidence()
    {
        // The second clip was really shot at 1/50: there 120 Hz keeps 0.126 (check value of sin x / x), not 0.80 as at 1/320.
        using AuditionFolder folder = Two(ripple2: "120 0.0316");
        FixtureResult ripple = AuditionFolder.Run(folder.Audition(TwoFixtures), new FakeMeasurer()).Result.Fixtures[1];
        Assert.NotEqual("pass", ripple.Verdict);
        Assert.Contains(ripple.Levels[0].Formats.SelectMany(f => f.Reasons).Concat(ripple.Reasons), r => r.Code == FindingCodes.ContradictingTakes);
    }

    [Fact]
    public void Takes_are_worked_on_two_at_a_time_and_each_is_reported()
    {
        using AuditionFolder folder = Two();
        var measurer = new FakeMeasurer { WaitUntilAtOnce = 2 };
        var seen = new System.Collections.Concurrent.ConcurrentBag<string>();
        AuditionFolder.Run(folder.Audition(TwoFixtures), measurer, progress: new Direct(p => seen.Add(p.Work)));
        Assert.Equal(2, measurer.MostAtOnce);
        Assert.Equal(["ripple-1.mp4", "ripple-2.mp4", "steady-1.mp4", "steady-2.mp4"], seen.Distinct().Order());
    }

    [Fact]
    public void Cancelling_ends_the_work_and_keeps_what_was_done()
    {
        using AuditionFolder folder = Two();
        using var source = new CancellationTokenSource();
        Audition audition = folder.Audition(TwoFixtures);
        var measurer = new FakeMeasurer { OnStart = clip => { if (clip == "ripple-1.mp4") source.Cancel(); } };
        Assert.ThrowsAny<OperationCanceledException>(() => AuditionFolder.Run(audition, measurer, folder.Cache(), new AuditionOptions { AtOnce = 1 }, null, source.Token));
        Assert.Equal(3, measurer.Calls.Count);
        var second = new FakeMeasurer();
        AuditionOutcome outcome = AuditionFolder.Run(audition, second, folder.Cache());
        Assert.Equal(2, outcome.FromCache);
        Assert.Equal(["ripple-1.mp4", "ripple-2.mp4"], second.Calls.Order());
    }

    [Fact]
    public void A_missing_program_ends_the_audition_rather_than_fail_every_take()
    {
        using AuditionFolder folder = Two();
        var measurer = new FakeMeasurer { OnStart = _ => throw new Files.Decoding.ProgramMissingException("ffmpeg", new IOException("none")) };
        Assert.Throws<Files.Decoding.ProgramMissingException>(() => AuditionFolder.Run(folder.Audition(TwoFixtures), measurer));
    }

    private sealed class Direct(Action<Files.Pipeline.StageProgress> told) : IProgress<Files.Pipeline.StageProgress>
    {
        public void Report(Files.Pipeline.StageProgress value) => told(value);
    }
}
