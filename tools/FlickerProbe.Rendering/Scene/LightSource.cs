using FlickerProbe.Rendering.Light;

namespace FlickerProbe.Rendering.Scene;

/// <summary>A colour as linear light of the three primaries.</summary>
/// <param name="R">Red.</param>
/// <param name="G">Green.</param>
/// <param name="B">Blue.</param>
public sealed record Rgb(double R, double G, double B)
{
    /// <summary>Equal parts.</summary>
    public static Rgb White { get; } = new(1, 1, 1);

    /// <summary>Whether the three are equal.</summary>
    public bool IsNeutral() => R == G && G == B;
}

/// <summary>One emitter of a light: its colour and what its driver does.</summary>
/// <param name="Waveform">Output over time.</param>
/// <param name="Colour">Colour of its light at output 1.</param>
public sealed record Emitter(Waveform Waveform, Rgb Colour);

/// <summary>What a light does from some moment on.</summary>
public sealed record LightStep
{
    /// <summary>When it begins, s on the lights' clocks; the first step holds before its start too.</summary>
    public double StartSeconds { get; init; }

    /// <summary>Dimmer level 0…1 where there is one.</summary>
    public double? Dimmer { get; init; }

    /// <summary>The emitters.</summary>
    public required IReadOnlyList<Emitter> Emitters { get; init; }
}

/// <summary>A light in the room.</summary>
/// <remarks>Its output is scaled so that the mean luminance of the first step is 1: later steps keep their ratio to it.</remarks>
public sealed record LightSource
{
    /// <summary>Name, referred to by <see cref="LightOnSurface.Source"/>.</summary>
    public required string Name { get; init; }

    /// <summary>What it does, in order of time; more than one for a dimmer stepped during the clip.</summary>
    public required IReadOnlyList<LightStep> Steps { get; init; }

    /// <summary>A white light with one driver that does the same throughout.</summary>
    public static LightSource Of(string name, Waveform waveform) => Of(name, [new Emitter(waveform, Rgb.White)]);

    /// <summary>A light of several emitters that do the same throughout.</summary>
    public static LightSource Of(string name, IReadOnlyList<Emitter> emitters) =>
        new() { Name = name, Steps = [new LightStep { Emitters = emitters }] };
}
