using FlickerProbe.Camera;
using FlickerProbe.Files.Results;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Pipeline;

/// <summary>Writes what is known of a light down the way the result file has it, and reads it back for later forecasts.</summary>
public static class LightRecord
{
    /// <summary>The light as the result file has it.</summary>
    public static LightResult Of(LightEstimate light) => new()
    {
        FundamentalHz = light.FundamentalHz,
        CandidatesHz = light.CandidatesHz,
        ModulationDepth = light.ModulationDepth,
        FlickerIndex = light.FlickerIndex,
        Components = [.. light.Components.Select(c => new ComponentResult(c.FrequencyHz, c.Amplitude, Word(c.State))
        {
            PhaseRadians = c.PhaseRadians,
            CandidatesHz = c.CandidatesHz,
            CandidateHalfWidthHz = c.CandidateHalfWidthHz,
            Group = c.Group,
            HarmonicNumber = c.HarmonicNumber,
        })],
        Blind = [.. light.Blind.Select(b => new BlindSpotResult(
            b.DetectionLimit, TakeRecord.RateText(b.Rate), b.ExposureSeconds, b.ReadoutSeconds, b.Rate.IsStandIn ? null : b.SlowestBeatHz, b.LockedBound) { HalfWaveBound = b.HalfWaveBound, FineBands = b.FineBands })],
        Warnings = [.. light.Findings.Select(f => new ReasonResult(f.Code, f.Message))],
        PassForbiddenBy = TakeRecord.Forbidding(light.Findings),
    };

    /// <summary>The light of a result file.</summary>
    /// <exception cref="Units.InputException">The file holds a state or a rate that is none.</exception>
    public static LightEstimate Read(LightResult light) => new(
        light.FundamentalHz,
        light.CandidatesHz,
        light.ModulationDepth,
        light.FlickerIndex,
        [.. light.Components.Select(c => new LightComponent(c.FrequencyHz, c.Amplitude, c.PhaseRadians, State(c.State), c.CandidatesHz, c.Group, c.HarmonicNumber) { CandidateHalfWidthHz = c.CandidateHalfWidthHz })],
        [.. light.Blind.Select(b => new BlindSpot(
            b.DetectionLimit, TakeRecord.ReadRate(b.FrameRate), b.ExposureTime, b.ReadoutTime, b.SlowestBeatHz ?? FrameRate.OfStill.Hertz, b.LockedBound) { HalfWaveBound = b.HalfWaveBound, FineBands = b.FineBands })])
    {
        Findings = TakeRecord.ReadFindings(light.Warnings, light.PassForbiddenBy),
    };

    private static string Word(ComponentState state) => state switch
    {
        ComponentState.Resolved => "resolved",
        ComponentState.Ambiguous => "ambiguous",
        ComponentState.Hidden => "hidden",
        _ => throw new ArgumentOutOfRangeException(nameof(state)),
    };

    private static ComponentState State(string word) => word switch
    {
        "resolved" => ComponentState.Resolved,
        "ambiguous" => ComponentState.Ambiguous,
        "hidden" => ComponentState.Hidden,
        _ => throw new Units.InputException($"The result says a component is '{word}', which is none of resolved, ambiguous and hidden: give a result.json that flickerprobe wrote."),
    };
}
