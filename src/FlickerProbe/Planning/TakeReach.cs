using FlickerProbe.Camera;
using static System.Math;

namespace FlickerProbe.Planning;

/// <summary>What a take at one setting can tell of one light.</summary>
/// <remarks>The limits are the project's own choice for planning; the measurement itself states its own limits for each clip.</remarks>
internal static class TakeReach
{
    /// <summary>Seconds of footage that a level gets.</summary>
    internal const double TypicalSeconds = 10;

    /// <summary>Amplitude on camera that a good recording shows beyond doubt: three times a detection limit of 0.2 %.</summary>
    private const double SeenAmplitude = 0.006;

    /// <summary>Fewer beat cycles than this in a clip are as good as locked bands.</summary>
    private const double FewestBeatCycles = 0.16;

    /// <summary>Under a global shutter the whole picture beats, which is told from drift only by half a cycle or more.</summary>
    private const double FewestBeatCyclesGlobal = 0.5;

    /// <summary>A depth counts as known when the shutter's tolerance leaves it within a quarter.</summary>
    private const double LargestGainDoubt = 0.25;

    /// <summary>Whether the light's tone shows in the clip at all.</summary>
    internal static bool Shows(PlausibleLight light, CameraSetting setting, bool isGlobal)
    {
        double gain = setting.Exposure is { } exposure ? Abs(ExposureGain.At(light.FrequencyHz, exposure.Seconds)) : 0.5;
        double cycles = Abs(AliasFrequency.Of(light.FrequencyHz, setting.Rate)) * TypicalSeconds;
        return light.Amplitude * gain >= SeenAmplitude && cycles >= (isGlobal ? FewestBeatCyclesGlobal : FewestBeatCycles);
    }

    /// <summary>Whether the depth of the light follows from the clip, once the frequency is known.</summary>
    internal static bool GivesDepth(PlausibleLight light, CameraSetting setting, bool isGlobal)
    {
        if (setting.Exposure is not { } exposure || !Shows(light, setting, isGlobal)) return false;
        return ExposureGain.HalfWidth(light.FrequencyHz, exposure) <= LargestGainDoubt * Abs(ExposureGain.At(light.FrequencyHz, exposure.Seconds));
    }
}
