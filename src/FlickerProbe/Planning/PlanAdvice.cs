using System.Globalization;
using FlickerProbe.Camera;

namespace FlickerProbe.Planning;

/// <summary>How to set up for a plan, and what to beware of. Common practice of the trade; no published source.</summary>
internal static class PlanAdvice
{
    internal static IReadOnlyList<string> SetUp(PlanRequest request, IReadOnlyList<PlannedTake> takes)
    {
        double hold = takes.Max(t => t.SecondsPerLevel);
        var steps = new List<string>
        {
            "Put the camera on a tripod and frame a plain, matt, white or grey card (or a bare wall) that only the fixture lights; fill at least half of the picture's height with it. The lamp itself works too if nothing of it clips.",
            "Set exposure, shutter, gain, white balance and focus by hand and lock them. Switch off stabilisation, noise reduction, automatic contrast and frame blending.",
            "Record at the camera's best quality, not at a slow-motion mode that changes the frame rate afterwards.",
            "Bring the card to 50–80 % on the waveform scale with iris, gain or distance, never with the shutter. Nothing may clip. At the lowest level it may sink to 20 %; if it goes lower, shoot that level as a take of its own with more gain.",
            request.OtherLightOff
                ? "Put out all other light, and cover windows and screens."
                : "Leave the other light as it is for all takes of the evening, and shoot the takes with the fixture off from the very same place.",
            string.Create(CultureInfo.InvariantCulture, $"Hold every level for {hold:0} seconds without touching anything, and let each fade end before you count."),
        };
        if (takes.Any(t => t.Levels.Count > 1)) steps.Add("Step the dimmer through the levels in the order of the list, in one clip, without going back; start recording before the first and stop after the last, without a blackout at either end.");
        if (takes.Any(t => t.Kind == TakeKind.Calibration)) steps.Add("For the calibration take use a filament or halogen lamp straight on the mains, with no dimmer, close to the camera, so that it or its light on the card fills the picture from top to bottom.");
        steps.Add("Let each fixture warm up for ten minutes at full level before its first take, and note its mode, its firmware and anything you set.");
        return steps;
    }

    internal static IReadOnlyList<string> Cautions(PlanRequest request, SettingChoice chosen, IReadOnlyList<PlanCoverage> coverage)
    {
        var cautions = new List<string>();
        foreach (PlanCoverage open in coverage.Where(c => c.Share < 0.5))
        {
            cautions.Add($"With these cameras most of the {PlanPurpose.Name(open.Kind)} stays open: another frame rate" +
                (chosen.Readout.State == ReadoutState.Known ? "" : ", a camera of known readout") + " or a wider choice of shutters would help, and the report will ask for the take that decides.");
        }
        if (chosen.Settings.Any(s => s.Exposure is null))
            cautions.Add($"'{chosen.Camera.Name}' sets its shutter by itself: without the shutter no light can be passed for another setting. Use a camera application that locks it, and give the shutter.");
        if (chosen.Readout.State == ReadoutState.Unknown)
            cautions.Add($"The readout time of '{chosen.Camera.Name}' is unknown" + (request.MainsHz is null ? " and so is the mains frequency, so that no calibration take can be planned" : "") + ": frequencies come from comparing takes only.");
        if (chosen.Settings.Any(s => s.Exposure is { Seconds: < 1.0 / 750 }))
            cautions.Add("The short shutter needs a lot of light: move the card closer to the fixture rather than leave the picture dark.");
        foreach (CameraFormat format in request.Formats)
        {
            if (format.Exposure is { } exposure && request.MainsHz is { } mains && Math.Abs(ExposureGain.At(2 * mains, exposure.Seconds)) < 0.02)
                cautions.Add(string.Create(CultureInfo.InvariantCulture, $"At {format.ToShortText()} the {2 * mains:0} Hz ripple of the mains can't show; a take shot so says nothing about other shutters."));
        }
        if (request.MainsHz is null) cautions.Add("The mains frequency was not given: the plan covers both 50 and 60 Hz.");
        cautions.Add("Electrical work and work at height are for licensed people, under your local codes: nobody climbs alone or opens a fixture for a test.");
        cautions.Add("Rapid flashes can harm people with photosensitive epilepsy: do not look into a fixture that visibly pulses, and warn the room.");
        cautions.Add("A fixture that passes at one dimmer level, colour or mode may fail at another: shoot every level that will be used.");
        return cautions;
    }
}
