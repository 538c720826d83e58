using System.Globalization;
using FlickerProbe.Light;
using FlickerProbe.Units;

namespace FlickerProbe.Room;

/// <summary>What the measured light means for people in the room: informative figures beside the camera verdict.</summary>
public static class RoomView
{
    /// <summary>How every remark begins.</summary>
    public const string NotATest = "Informative, not a compliance test: a camera clip is no calibrated light sensor, and other light on the surface lowers the figure.";

    /// <summary>All the figures that the light allows; a figure that this footage can't give has a null value and says why.</summary>
    public static IReadOnlyList<RoomFigure> Of(LightEstimate light, StroboscopicThreshold threshold)
    {
        string? obstacle = Obstacle(light);
        RoomTone[] tones = [.. light.Components.Where(c => c.State == ComponentState.Resolved)
            .Select(c => new RoomTone(c.FrequencyHz.Value, c.Amplitude.Value, c.PhaseRadians, c.Group, c.HarmonicNumber))];
        List<RoomFigure> figures = [];
        AddFundamental(figures, light, obstacle);
        figures.Add(Stroboscopic(tones, threshold, obstacle));
        figures.Add(Slow(tones, light, obstacle));
        foreach (double cutOff in AmplitudeModulation.CutOffsHz)
        {
            figures.Add(new RoomFigure(
                string.Create(CultureInfo.InvariantCulture, $"Percent amplitude modulation under {cutOff:0} Hz"),
                obstacle is null ? AmplitudeModulation.Below(cutOff, tones) : null, "1", cutOff == 200 ? 0.30 : null,
                cutOff == 200 ? "California Title 24, JA10.6; line of JA8 as quoted in secondary texts" : "California Title 24, JA10.6",
                Remark(obstacle, "JA10 asks for a record of 20 000 samples a second and for 20 % and lowest dimming too.")));
        }
        return figures;
    }

    private static string? Obstacle(LightEstimate light)
    {
        if (light.Blind.Count > 0 && light.Blind.All(b => b.ExposureSeconds is null)) return "The shutter is unknown, so the light's own modulation is too.";
        if (light.Components.Any(c => c.State == ComponentState.Ambiguous)) return "Several frequencies fit what was seen; the figure needs the true one.";
        return null;
    }

    private static void AddFundamental(List<RoomFigure> figures, LightEstimate light, string? obstacle)
    {
        LightComponent? fundamental = light.Components.FirstOrDefault(c => c.State == ComponentState.Resolved && c.HarmonicNumber is null or 1);
        if (obstacle is null && fundamental is null) obstacle = "No modulation was seen that it could be applied to.";
        double? hz = obstacle is null ? fundamental!.FrequencyHz.Value : null;
        const string source = "IEEE Std 1789-2015, break points from secondary texts";
        string about = obstacle ?? string.Create(CultureInfo.InvariantCulture, $"Held against the fundamental at {hz:0.#} Hz alone; overtones are left out.");
        figures.Add(new RoomFigure("Modulation of the fundamental, low-risk limit", obstacle is null ? fundamental!.Amplitude.Value : null, "1",
            hz is { } f ? Ieee1789.LowRisk(f) : null, source, Remark(null, about)));
        figures.Add(new RoomFigure("Modulation of the fundamental, no-observable-effect limit", obstacle is null ? fundamental!.Amplitude.Value : null, "1",
            hz is { } g ? Ieee1789.NoObservableEffect(g) : null, source, Remark(null, about)));
    }

    private static RoomFigure Stroboscopic(RoomTone[] tones, StroboscopicThreshold threshold, string? obstacle) => new(
        threshold == StroboscopicThreshold.Cie2016 ? "Stroboscopic visibility measure, threshold T1 (CIE TN 006:2016)" : "Stroboscopic visibility measure, threshold T2 (Perz et al. 2018)",
        obstacle is null ? StroboscopicVisibility.Of(tones.Select(t => (t.FrequencyHz, t.Amplitude)), threshold) : null, "1", 0.4,
        "IEC TR 63158:2018 as restated in secondary texts, threshold constants from memory; line: Regulation (EU) 2019/2020 as amended by (EU) 2021/341, mains light sources at full load from 1 September 2024",
        Remark(obstacle, "Tones that the takes could not show are left out."));

    private static RoomFigure Slow(RoomTone[] tones, LightEstimate light, string? obstacle)
    {
        RoomTone[] slow = [.. tones.Where(t => t.FrequencyHz < 80)];
        double limit = light.Blind.Count == 0 ? 1 : light.Blind.Min(b => b.LimitAtAnyRate);
        // A tone just under the detection limit, where the eye is most sensitive.
        double unseen = ShortTermFlicker.OfLight([(8.8, limit, 0)], 10);
        string seen = slow.Length == 0
            ? string.Create(CultureInfo.InvariantCulture, $"Nothing slower than 80 Hz was seen; what this recording could have missed stays under about {unseen:0.##}.")
            : string.Create(CultureInfo.InvariantCulture, $"From the tones seen, taken as steady; good to ± 6 %, and tones under the detection limit could add up to {unseen:0.##}.");
        return new RoomFigure("Short-term light flicker PstLM",
            obstacle is null && slow.Length > 0 ? ShortTermFlicker.OfLight(slow.Select(t => (t.FrequencyHz, t.Amplitude, t.PhaseRadians ?? 0))) : null, "1", 1,
            "IEC TR 61547-1 weighting from memory, chain of IEC 61000-4-15; line: Regulation (EU) 2019/2020 as reported in the press",
            Remark(obstacle, seen + " Dimming steps and mains disturbances over minutes are not in a short clip."));
    }

    private static string Remark(string? obstacle, string about) => $"{NotATest} {obstacle ?? about}";
}
