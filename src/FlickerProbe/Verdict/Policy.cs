using FlickerProbe.Room;
using FlickerProbe.Units;

namespace FlickerProbe.Verdict;

/// <summary>A pass line and a fail line for one quantity.</summary>
/// <param name="Pass">The upper bound must lie under this for a pass, 0…1.</param>
/// <param name="Fail">The lower bound over this is a fail, 0…1; not under <paramref name="Pass"/>.</param>
/// <param name="Source">Where the lines come from, for people.</param>
public sealed record Lines(double Pass, double Fail, string Source);

/// <summary>The lines that verdicts are held against.</summary>
/// <remarks>Defaults: see <see cref="Default"/>. A venue may write its own in a file.</remarks>
public sealed record Policy
{
    /// <summary>Name of the policy, for the report.</summary>
    public required string Name { get; init; }

    /// <summary>Lines for the modulation depth on camera (bands and waveform).</summary>
    public required Lines Depth { get; init; }

    /// <summary>Lines for the pulsing of the whole picture between 2 and 30 Hz.</summary>
    public required Lines Pulsing { get; init; }

    /// <summary>Which published threshold function the stroboscopic visibility measure uses.</summary>
    public StroboscopicThreshold SvmThreshold { get; init; } = StroboscopicThreshold.Cie2016;

    /// <summary>The lines that hold unless a policy file says otherwise.</summary>
    /// <remarks>
    /// Depth 1 % and 3 %: the project's own choice, beside the depth of one 8-bit BT.709 code step near mid-scale (<see cref="CodeStep.DepthNearMidScale"/>, 0.85 %).
    /// Pulsing 0.5 %: the lowest threshold of visible flicker that de Lange 1958 published (0.499 % at 7 Hz, 159 cd/m², 2° field); 1.5 %, three times that, is the project's own choice.
    /// </remarks>
    public static Policy Default { get; } = new()
    {
        Name = "built-in",
        Depth = new Lines(0.01, 0.03,
            $"the project's own choice; for scale, one 8-bit BT.709 code step near mid-scale is a depth of {Percent.Of(CodeStep.DepthNearMidScale)}, computed from ITU-R BT.709"),
        Pulsing = new Lines(0.005, 0.015,
            "pass line: lowest visible flicker in de Lange 1958, 0.5 % near 7 Hz (published); fail line: three times that, the project's own choice"),
    };
}
