using FlickerProbe.Camera;

namespace FlickerProbe.Planning;

/// <summary>What a planned take is shot for.</summary>
public enum TakeKind
{
    /// <summary>A lamp on the mains, to find the camera's readout time.</summary>
    Calibration,
    /// <summary>The view with the fixture off.</summary>
    Reference,
    /// <summary>A fixture at its levels.</summary>
    Fixture,
}

/// <summary>One take to shoot.</summary>
/// <param name="Number">Place in the order of shooting, from 1.</param>
/// <param name="Kind">What it is shot for.</param>
/// <param name="Fixture">The fixture; null for calibration and reference takes.</param>
/// <param name="Camera">Name of the camera.</param>
/// <param name="Setting">Rate and shutter.</param>
/// <param name="Levels">Dimmer levels to step through, in order; one entry: no sweep; empty for calibration and reference takes.</param>
/// <param name="SecondsPerLevel">How long to hold each level, seconds.</param>
/// <param name="ClipName">Suggested file name.</param>
/// <param name="ReferenceClip">File name of the take's reference; null without one.</param>
/// <param name="Purpose">What the take is for, one plain sentence.</param>
public sealed record PlannedTake(
    int Number,
    TakeKind Kind,
    string? Fixture,
    string Camera,
    CameraSetting Setting,
    IReadOnlyList<double> Levels,
    double SecondsPerLevel,
    string ClipName,
    string? ReferenceClip,
    string Purpose)
{
    /// <summary>Length of the whole take in seconds, with two seconds for each fade.</summary>
    public double TotalSeconds => SecondsPerLevel * Math.Max(1, Levels.Count) + 2 * Math.Max(0, Levels.Count - 1);
}

/// <summary>How many of the lights that may turn up the planned takes resolve.</summary>
/// <param name="Kind">The kind of light.</param>
/// <param name="Share">Share 0…1 of the lights of this kind whose frequency and depth would both be known.</param>
/// <param name="OpenHz">Some frequencies that would stay open, hertz.</param>
public sealed record PlanCoverage(LightKind Kind, double Share, IReadOnlyList<double> OpenHz);

/// <summary>The takes for an audition, how to set up for them and what to beware of.</summary>
/// <param name="Request">What it was planned for.</param>
/// <param name="Takes">All takes in the order of shooting.</param>
/// <param name="Coverage">What the takes resolve, one entry for each kind of light.</param>
/// <param name="SetUp">Instructions, in order.</param>
/// <param name="Cautions">What to beware of.</param>
public sealed record ShotPlan(
    PlanRequest Request,
    IReadOnlyList<PlannedTake> Takes,
    IReadOnlyList<PlanCoverage> Coverage,
    IReadOnlyList<string> SetUp,
    IReadOnlyList<string> Cautions);
