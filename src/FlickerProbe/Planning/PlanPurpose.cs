using System.Globalization;
using FlickerProbe.Camera;

namespace FlickerProbe.Planning;

/// <summary>Says what each setting of a choice is for, by leaving it out and looking what is lost.</summary>
internal static class PlanPurpose
{
    internal static IReadOnlyList<string> OfEach(SettingChoice chosen, SettingScores scores, IReadOnlyList<PlausibleLight> lights)
    {
        var purposes = new List<string>();
        for (int i = 0; i < chosen.Settings.Count; i++)
        {
            CameraSetting setting = chosen.Settings[i];
            if (chosen.Settings.Count == 1)
            {
                purposes.Add(Alone(setting, chosen, lights));
                continue;
            }
            SettingChoice without = scores.Choice([.. chosen.Settings.Where(s => s != setting)]);
            List<PlausibleLight> lost = [.. lights.Where((_, l) => chosen.Resolved[l] && !without.Resolved[l])];
            purposes.Add(With(setting, lost, chosen));
        }
        return purposes;
    }

    private static string Alone(CameraSetting setting, SettingChoice chosen, IReadOnlyList<PlausibleLight> lights)
    {
        if (setting.Exposure is null) return "Shows whether the light flickers; the depth of the light itself stays a lower bound because the camera sets its shutter by itself.";
        string kinds = Kinds(lights.Where((_, l) => chosen.Resolved[l]));
        return kinds.Length == 0
            ? "Shows what this camera can show; for most lights another take will be asked for."
            : $"Gives frequency and depth of {kinds} in one take.";
    }

    private static string With(CameraSetting setting, List<PlausibleLight> lost, SettingChoice chosen)
    {
        if (lost.Count == 0) return "Confirms the other take of this fixture at another setting.";
        CameraSetting other = chosen.Settings.First(s => s != setting);
        bool isGlobal = chosen.Readout.State == ReadoutState.Global;
        // Lost because nothing else shows it, or because what else shows it leaves several frequencies.
        List<PlausibleLight> unseen = [.. lost.Where(l => !chosen.Settings.Any(s => s != setting && TakeReach.GivesDepth(l, s, isGlobal)))];
        var parts = new List<string>();
        if (unseen.Count > 0) parts.Add($"shows {Kinds(unseen)} that {other.ToShortText()} hides{Example(unseen)}");
        if (unseen.Count < lost.Count)
        {
            List<PlausibleLight> alike = [.. lost.Except(unseen)];
            parts.Add(chosen.Settings.Any(s => s.Rate != setting.Rate)
                ? $"tells apart the frequencies that look alike at {other.Rate.ToShortText()} fps{Example(alike)}"
                : $"is needed beside the other for {Kinds(alike)}");
        }
        string sentence = string.Join(", and ", parts) + ".";
        return char.ToUpperInvariant(sentence[0]) + sentence[1..];
    }

    private static string Example(List<PlausibleLight> lights)
    {
        double hertz = lights.MaxBy(l => l.Weight)!.FrequencyHz;
        return string.Create(CultureInfo.InvariantCulture, $" ({(hertz >= 10_000 ? Math.Round(hertz / 100) * 100 : Math.Round(hertz)):0} Hz, for one)");
    }

    private static string Kinds(IEnumerable<PlausibleLight> lights) => string.Join(" and ", lights.Select(l => l.Kind).Distinct().Order().Select(Name));

    internal static string Name(LightKind kind) => kind switch
    {
        LightKind.MainsRipple => "mains ripple",
        LightKind.SlowPulses => "dimmer pulses up to 1 kHz",
        _ => "dimmer pulses of 1 to 30 kHz",
    };
}
