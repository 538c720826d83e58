using System.Globalization;
using FlickerProbe.Files.Reports;
using FlickerProbe.Planning;

namespace FlickerProbe.Files.Auditions;

/// <summary>The shot list of a plan, to print and to tick off.</summary>
public static class ShotList
{
    /// <summary>The list's title.</summary>
    public static string Title(ShotPlan plan) => string.IsNullOrWhiteSpace(plan.Request.Title) ? "Shot list" : $"Shot list: {Words.Clean(plan.Request.Title)}";

    /// <summary>The list as the blocks that page and print are made of.</summary>
    public static IReadOnlyList<Block> Build(ShotPlan plan)
    {
        double minutes = plan.Takes.Sum(t => t.TotalSeconds) / 60;
        List<Block> blocks =
        [
            new HeadingBlock(1, Title(plan)),
            new TextBlock(string.Create(CultureInfo.InvariantCulture,
                $"{plan.Takes.Count} takes, {minutes:0.#} minutes of footage without the time to set up. Clips may keep the names the camera gives them: flickerprobe take-in finds out which is which."), Small: true),
            new HeadingBlock(2, "Before the first take"),
            new ListBlock([.. plan.SetUp.Select(Words.Clean)], ListKind.Plain),
            new HeadingBlock(2, "Takes in order"),
        ];
        foreach (IGrouping<string, PlannedTake> group in plan.Takes.GroupBy(Group))
            blocks.Add(new TableBlock(group.Key, [new("Done", 0.68), new("No.", 0.45), new("Camera", 0.9), new("Rate and shutter", 1.35), new("Dimmer", 1.5), new("For how long", 1.1), new("What it is for", 3)], [.. group.Select(take => Row(take, plan))]));
        blocks.Add(new HeadingBlock(2, "What these takes will tell"));
        blocks.Add(new ListBlock([.. plan.Coverage.Select(Tells)], ListKind.Plain));
        blocks.Add(new HeadingBlock(2, "Cautions"));
        blocks.Add(new ListBlock([.. plan.Cautions.Select(Words.Clean)], ListKind.Caution));
        return blocks;
    }

    private static string Group(PlannedTake take) => take.Kind switch
    {
        TakeKind.Calibration => "First, once: the camera itself",
        TakeKind.Reference => "Fixture off, everything else as for the takes",
        _ => Words.Clean(take.Fixture!),
    };

    private static IReadOnlyList<Cell> Row(PlannedTake take, ShotPlan plan) =>
    [
        "☐",
        take.Number.ToString(CultureInfo.InvariantCulture),
        Words.Clean(take.Camera),
        $"{take.Setting.Rate.ToShortText()} fps, {(take.Setting.Shutter is null ? "its own shutter" : Words.Clean(take.Setting.Shutter))}",
        take.Kind switch { TakeKind.Calibration => "mains lamp", TakeKind.Reference => "off", _ => Levels(take.Levels) },
        take.Levels.Count > 1
            ? string.Create(CultureInfo.InvariantCulture, $"{take.SecondsPerLevel:0} s each, {take.TotalSeconds:0} s in all")
            : string.Create(CultureInfo.InvariantCulture, $"{take.SecondsPerLevel:0} s"),
        Purpose(take, plan),
    ];

    // Said once in full; the other fixtures' takes at the same setting are for the same.
    private static string Purpose(PlannedTake take, ShotPlan plan)
    {
        PlannedTake first = plan.Takes.First(t => t.Kind == take.Kind && t.Purpose == take.Purpose && t.Setting == take.Setting);
        return first == take ? Words.Clean(take.Purpose) : string.Create(CultureInfo.InvariantCulture, $"As take {first.Number}.");
    }

    private static string Levels(IReadOnlyList<double> levels) => string.Join(" → ", levels.Select(l => string.Create(CultureInfo.InvariantCulture, $"{l * 100:0.##} %")));

    private static string Tells(PlanCoverage coverage)
    {
        string kind = coverage.Kind switch { LightKind.MainsRipple => "Ripple of the mains", LightKind.SlowPulses => "Dimmer pulses of 100 Hz to 1 kHz", _ => "Dimmer pulses of 1 to 30 kHz" };
        string open = coverage.OpenHz.Count == 0 ? "" : $"; open would stay, for example, {string.Join(", ", coverage.OpenHz.Select(Hertz))}";
        return string.Create(CultureInfo.InvariantCulture, $"{kind}: frequency and depth for {Math.Floor(coverage.Share * 100):0} % of those that may turn up{open}.");
    }

    private static string Hertz(double hertz) => hertz >= 1000
        ? string.Create(CultureInfo.InvariantCulture, $"{hertz / 1000:0.#} kHz")
        : string.Create(CultureInfo.InvariantCulture, $"{hertz:0.##} Hz");
}
