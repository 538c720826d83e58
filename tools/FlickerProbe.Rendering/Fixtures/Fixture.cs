using FlickerProbe.Rendering.Scene;

namespace FlickerProbe.Rendering.Fixtures;

/// <summary>A stage light as data: what its drivers do at each dimmer level.</summary>
public sealed record Fixture
{
    /// <summary>Name.</summary>
    public required string Name { get; init; }

    /// <summary>What it is, in a sentence.</summary>
    public string Description { get; init; } = "";

    /// <summary>Nominal mains frequency its mains-locked waveforms are written for, Hz.</summary>
    public required double MainsHz { get; init; }

    /// <summary>Anything else for the decision: price, mode, firmware…</summary>
    public IReadOnlyDictionary<string, string> Notes { get; init; } = new Dictionary<string, string>();

    /// <summary>The levels, brightest first.</summary>
    public required IReadOnlyList<FixtureLevel> Levels { get; init; }

    /// <summary>The emitters at a dimmer level (0…1), which the file must list.</summary>
    public IReadOnlyList<Emitter> At(double dimmer)
    {
        FixtureLevel? level = Levels.FirstOrDefault(l => Math.Abs(l.Dimmer - dimmer) < 1e-9);
        return level?.Emitters ?? throw new ArgumentException(
            $"'{Name}' has no level {dimmer:P0}. It has: {string.Join(", ", Levels.Select(l => l.Dimmer.ToString("P0", System.Globalization.CultureInfo.InvariantCulture)))}.");
    }

    /// <summary>A light held at one level.</summary>
    public LightSource ToSource(double dimmer) =>
        new() { Name = Name, Steps = [new LightStep { Dimmer = dimmer, Emitters = At(dimmer) }] };

    /// <summary>A light stepped through levels, each held for <paramref name="secondsEach"/>.</summary>
    public LightSource ToSweep(IReadOnlyList<double> dimmers, double secondsEach) => new()
    {
        Name = Name,
        Steps = [.. dimmers.Select((d, i) => new LightStep { StartSeconds = i * secondsEach, Dimmer = d, Emitters = At(d) })],
    };
}

/// <summary>One dimmer level of a fixture.</summary>
/// <param name="Dimmer">Level, 0…1.</param>
/// <param name="Emitters">Its emitters there.</param>
public sealed record FixtureLevel(double Dimmer, IReadOnlyList<Emitter> Emitters);
