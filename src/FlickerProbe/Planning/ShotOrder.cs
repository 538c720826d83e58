using System.Globalization;
using System.Text;
using FlickerProbe.Camera;
using static System.Math;

namespace FlickerProbe.Planning;

/// <summary>Puts the takes into the order in which they are shot: calibration, references, then fixture by fixture.</summary>
internal static class ShotOrder
{
    internal static IReadOnlyList<PlannedTake> Arrange(PlanRequest request, SettingChoice chosen, IReadOnlyList<string> purposes)
    {
        var takes = new List<PlannedTake>();
        string camera = chosen.Camera.Name;
        if (chosen.Calibrated)
        {
            CameraSetting setting = Calibration.Setting(chosen.Camera, request.MainsHz!.Value)!;
            takes.Add(new PlannedTake(1, TakeKind.Calibration, null, camera, setting, [], SecondsFor(setting, request.MainsHz), Name(1, "calibrate " + camera), null,
                $"Finds the readout time of '{camera}', without which the bands in a picture do not tell a frequency."));
        }
        var references = new Dictionary<CameraSetting, string>();
        if (!request.OtherLightOff)
        {
            foreach (CameraSetting setting in chosen.Settings)
            {
                string name = Name(takes.Count + 1, "fixture off");
                references[setting] = name;
                takes.Add(new PlannedTake(takes.Count + 1, TakeKind.Reference, null, camera, setting, [], 5, name, null,
                    "Shows how much other light falls on the card, so that it can be subtracted."));
            }
        }
        double[] levels = request.Levels.Count == 0 ? [1.0] : [.. request.Levels.Distinct().OrderDescending()];
        foreach (string fixture in request.Fixtures)
        {
            for (int i = 0; i < chosen.Settings.Count; i++)
            {
                CameraSetting setting = chosen.Settings[i];
                int number = takes.Count + 1;
                string name = Name(number, fixture + (chosen.Settings.Count > 1 ? string.Create(CultureInfo.InvariantCulture, $" take {i + 1}") : ""));
                takes.Add(new PlannedTake(number, TakeKind.Fixture, fixture, camera, setting, levels, SecondsFor(setting, request.MainsHz), name,
                    references.GetValueOrDefault(setting), purposes[i]));
            }
        }
        return takes;
    }

    // Long enough for one full beat of the mains ripple, if that takes 12 s or less.
    private static double SecondsFor(CameraSetting setting, double? mainsHz)
    {
        double slowest = (mainsHz is { } hertz ? new[] { hertz } : [50, 60]).Min(m => Abs(AliasFrequency.Of(2 * m, setting.Rate)));
        return slowest < 1e-6 ? 8 : Clamp(Ceiling(1.1 / slowest), 6, 12);
    }

    private static string Name(int number, string words)
    {
        var name = new StringBuilder(number.ToString("00", CultureInfo.InvariantCulture));
        bool gap = true;
        foreach (char c in words.ToLowerInvariant())
        {
            if (char.IsAsciiLetterOrDigit(c))
            {
                if (gap) name.Append('-');
                name.Append(c);
            }
            gap = !char.IsAsciiLetterOrDigit(c);
        }
        return name.Append(".mp4").ToString();
    }
}
