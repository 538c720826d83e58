using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Scene;

namespace FlickerProbe.Validation.Cases;

/// <summary>One clip of the validation: how to render it, and what the person who measures it says about it.</summary>
public sealed record ValidationCase
{
    /// <summary>The seed that makes it again.</summary>
    public required int Seed { get; init; }

    /// <summary>The clip.</summary>
    public required ClipRecipe Recipe { get; init; }

    /// <summary>Container, with its dot.</summary>
    public required string Extension { get; init; }

    /// <summary>The region in coded pixels.</summary>
    public required PixelArea CodedRegion { get; init; }

    /// <summary>The region as the picture is displayed, X,Y,W,H.</summary>
    public required (int X, int Y, int Width, int Height) DisplayedRegion { get; init; }

    /// <summary>What <c>--shutter</c> is told; null when the user doesn't know.</summary>
    public double? StatedExposureSeconds { get; init; }

    /// <summary>What <c>--readout</c> is told; null when the user doesn't know.</summary>
    public double? StatedReadoutSeconds { get; init; }

    /// <summary>Another setting, for which the clip's light is to be forecast.</summary>
    public required (FrameRate Rate, double ExposureSeconds, string Name) OtherFormat { get; init; }

    /// <summary>What <c>--frame-rate</c> is told; null for the clip's own.</summary>
    public FrameRate? StatedRate { get; init; }

    /// <summary>Whether the user gives the camera's curve as a table.</summary>
    public bool WithCube { get; init; }

    /// <summary>The same view with the fixture off; null when not shot.</summary>
    public ClipRecipe? Reference { get; init; }

    /// <summary>Rates of the drivers, hertz, and whether they follow the mains; empty for steady light.</summary>
    public required IReadOnlyList<(double Hertz, bool OnMains)> Fundamentals { get; init; }

    /// <summary>Properties by name, for tables and for picking cases.</summary>
    public required IReadOnlyDictionary<string, string> Properties { get; init; }

    /// <summary>A recording that leaves the tool no excuse: little compression and no fault of time or level.</summary>
    public required bool IsGoodRecording { get; init; }

    /// <summary>Lossless or ProRes.</summary>
    public required bool IsLosslessClass { get; init; }

    /// <summary>The case of a seed.</summary>
    public static ValidationCase FromSeed(int seed) => CaseBuilder.Build(seed, mostPixels: 22e6);

    /// <summary>A case of the same kinds that is quick to make: a narrow picture and no more than four seconds.</summary>
    public static ValidationCase SmallFromSeed(int seed) => CaseBuilder.Build(seed, mostPixels: 3e6);

    /// <summary>One line for lists.</summary>
    public string Summary() => string.Join("; ", Properties.Where(p => p.Value is not ("none" or "whole")).Select(p => $"{p.Key}: {p.Value}"));
}
