using FlickerProbe.Camera;
using FlickerProbe.Planning;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Planning;

/// <summary>What a plan must do follows from the sampling theorem and from sin(x)/x; both are written out here again, apart from the planner's own code.</summary>
public class PlannerTests
{
    private static readonly string[] ManyShutters =
        ["1/25", "1/30", "1/50", "1/60", "1/100", "1/125", "1/250", "1/320", "1/500", "1/640", "1/1000", "1/1250", "1/1600", "1/2000", "1/4000"];

    private static PlanCamera Camera(string name, string rates, string? readout, params string[] shutters) =>
        new(name, [.. rates.Split(' ').Select(FrameRate.Parse)], shutters, readout is null ? null : ReadoutTime.Parse(readout));

    private static PlanRequest Request(PlanCamera camera, double? mains = 50) =>
        new(mains, [camera], [CameraFormat.Parse("25@1/50"), CameraFormat.Parse("50@1/100")], ["Wash A", "Wash B"], [1, 0.5, 0.1]);

    private static double Gain(double hertz, CameraSetting setting)
    {
        double x = Math.PI * hertz * setting.Exposure!.Seconds;
        return Math.Abs(Math.Sin(x) / x);
    }

    private static double Beat(double hertz, CameraSetting setting)
    {
        double left = hertz % setting.Rate.Hertz;
        return Math.Min(left, setting.Rate.Hertz - left);
    }

    private static CameraSetting[] FixtureSettings(ShotPlan plan) => [.. plan.Takes.Where(t => t.Fixture == "Wash A").Select(t => t.Setting)];

    [Theory]
    [InlineData(50)]
    [InlineData(60)]
    public void Mains_ripple_shows_and_moves_in_at_least_one_take(double mains)
    {
        CameraSetting[] settings = FixtureSettings(Planner.Plan(Request(Camera("hall", "25 29.97 50 59.94", "16ms", ManyShutters), mains)));
        Assert.Contains(settings, s => Gain(2 * mains, s) > 0.5 && Beat(2 * mains, s) > 0.1);
    }

    [Fact]
    public void What_one_shutter_hides_another_shows()
    {
        ShotPlan plan = Planner.Plan(Request(Camera("hall", "25 29.97 50 59.94", "16ms", ManyShutters)));
        CameraSetting[] settings = FixtureSettings(plan);
        Assert.True(settings.Length <= 2, "two takes of each fixture are enough for a camera with a wide choice");
        // Round dimmer frequencies sit exactly on the nulls of round shutters: 2 kHz at 1/1000 and 1/2000.
        foreach (double hertz in new[] { 200, 400, 500, 800, 1000, 1200, 2000, 2500, 4000, 5000.0 })
            Assert.True(settings.Max(s => 0.8 * Gain(hertz, s)) > 0.005, $"{hertz} Hz is hidden in all of {string.Join(", ", settings.Select(s => s.ToShortText()))}");
    }

    [Fact]
    public void No_take_is_idle()
    {
        ShotPlan plan = Planner.Plan(Request(Camera("hall", "25 29.97 50 59.94", "16ms", ManyShutters)));
        Assert.All(plan.Takes, t => Assert.DoesNotContain("Confirms", t.Purpose, StringComparison.Ordinal));
        Assert.True(plan.Coverage.Single(c => c.Kind == LightKind.MainsRipple).Share > 0.99);
        Assert.True(plan.Coverage.Single(c => c.Kind == LightKind.SlowPulses).Share > 0.95);
    }

    [Fact]
    public void An_unknown_readout_gets_one_calibration_take_that_shows_the_mains()
    {
        ShotPlan plan = Planner.Plan(Request(Camera("hall", "25 29.97", null, "1/50", "1/100", "1/250", "1/1000", "1/1250")));
        PlannedTake calibration = Assert.Single(plan.Takes, t => t.Kind == TakeKind.Calibration);
        Assert.Equal(1, calibration.Number);
        Assert.True(Gain(100, calibration.Setting) > 0.5);
        Assert.True(Beat(100, calibration.Setting) > 0.1, "100 Hz stands still at 25 fps: no use for a calibration");
        Assert.Contains(plan.SetUp, s => s.Contains("straight on the mains", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("16ms")]
    [InlineData("global")]
    public void A_known_readout_or_a_global_shutter_needs_no_calibration(string readout) =>
        Assert.DoesNotContain(Planner.Plan(Request(Camera("hall", "25 29.97", readout, ManyShutters))).Takes, t => t.Kind == TakeKind.Calibration);

    [Fact]
    public void A_global_shutter_is_shot_at_several_rates()
    {
        // One rate leaves every k·F ± α; only other rates take candidates away.
        ShotPlan plan = Planner.Plan(Request(Camera("hall", "24 25 29.97 59.94", "global", "1/60", "1/250", "1/320", "1/1000", "1/1250")));
        Assert.True(FixtureSettings(plan).Select(s => s.Rate).Distinct().Count() >= 2, string.Join(", ", FixtureSettings(plan).Select(s => s.ToShortText())));
        Assert.True(plan.Coverage.Single(c => c.Kind == LightKind.SlowPulses).Share > 0.5, string.Join(", ", plan.Coverage.Select(c => c.Share)));
    }

    [Fact]
    public void A_camera_on_which_the_mains_stands_still_is_not_promised_to_tell()
    {
        ShotPlan plan = Planner.Plan(Request(Camera("hall", "25", "16ms", "1/50", "1/100", "1/250")));
        // 2 × (mains ± some tens of millihertz) at 25 fps beats slower than the clip is long.
        Assert.True(plan.Coverage.Single(c => c.Kind == LightKind.MainsRipple).Share < 1);
        Assert.All(FixtureSettings(plan), s => Assert.Equal("25", s.Rate.ToString()));
    }

    [Fact]
    public void A_camera_that_sets_its_shutter_itself_is_warned_of()
    {
        ShotPlan plan = Planner.Plan(Request(Camera("phone", "30 60", null)));
        Assert.Contains(plan.Cautions, c => c.Contains("'phone' sets its shutter by itself", StringComparison.Ordinal));
        Assert.All(plan.Coverage, c => Assert.Equal(0, c.Share));
    }

    [Fact]
    public void Shutters_longer_than_a_frame_are_not_offered_at_that_rate()
    {
        ShotPlan plan = Planner.Plan(Request(Camera("hall", "50", "16ms", "1/25", "1/60")));
        Assert.All(plan.Takes, t => Assert.Equal("1/60", t.Setting.Shutter));
    }

    [Fact]
    public void Other_light_gets_reference_takes_that_the_fixture_takes_name()
    {
        ShotPlan plan = Planner.Plan(Request(Camera("hall", "25 29.97", "16ms", ManyShutters)) with { OtherLightOff = false });
        string[] references = [.. plan.Takes.Where(t => t.Kind == TakeKind.Reference).Select(t => t.ClipName)];
        Assert.NotEmpty(references);
        Assert.All(plan.Takes.Where(t => t.Kind == TakeKind.Fixture), t => Assert.Contains(t.ReferenceClip, references));
        foreach (PlannedTake take in plan.Takes.Where(t => t.Kind == TakeKind.Fixture))
            Assert.Equal(take.Setting, plan.Takes.Single(r => r.ClipName == take.ReferenceClip).Setting);
    }

    [Fact]
    public void Levels_are_swept_from_bright_to_dark_and_long_enough_for_the_beat()
    {
        ShotPlan plan = Planner.Plan(Request(Camera("hall", "29.97", "16ms", "1/250", "1/320"), 60));
        PlannedTake take = plan.Takes.First(t => t.Kind == TakeKind.Fixture);
        Assert.Equal([1, 0.5, 0.1], take.Levels);
        // 120 Hz at 30000/1001 beats every 8.342 s (1001/120).
        Assert.True(take.SecondsPerLevel >= 1001 / 120.0);
    }

    [Fact]
    public void File_names_are_plain_and_unique()
    {
        ShotPlan plan = Planner.Plan(Request(Camera("Saal/1 «Ost»", "25 29.97", null, ManyShutters)));
        Assert.Equal(plan.Takes.Count, plan.Takes.Select(t => t.ClipName).Distinct().Count());
        Assert.All(plan.Takes, t => Assert.Matches("^[0-9]{2}(-[a-z0-9]+)+\\.mp4$", t.ClipName));
    }

    [Fact]
    public void Without_camera_or_fixture_the_refusal_says_what_to_give()
    {
        PlanRequest request = Request(Camera("hall", "25", null, "1/50"));
        Assert.Contains("at least one camera", Assert.Throws<InputException>(() => Planner.Plan(request with { Cameras = [] })).Message, StringComparison.Ordinal);
        Assert.Contains("name the candidates", Assert.Throws<InputException>(() => Planner.Plan(request with { Fixtures = [] })).Message, StringComparison.Ordinal);
        Assert.Contains("no shutter that fits", Assert.Throws<InputException>(() => Planner.Plan(Request(Camera("hall", "50", null, "1/25")))).Message, StringComparison.Ordinal);
    }
}
