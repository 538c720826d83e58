using FlickerProbe.Rendering.Camera;
using static System.FormattableString;

namespace FlickerProbe.Validation.Cases;

/// <summary>One fixture of an audition: the takes shot of one lamp, and the formats of the house for which it is judged.</summary>
public sealed record EveningCase
{
    /// <summary>The seed that makes it again.</summary>
    public required int Seed { get; init; }

    /// <summary>The takes: one lamp, one camera, mostly at two frame rates as the guide advises.</summary>
    public required IReadOnlyList<ValidationCase> Takes { get; init; }

    /// <summary>What the house shoots.</summary>
    public required IReadOnlyList<(FrameRate Rate, double ExposureSeconds, string Name)> Formats { get; init; }

    /// <summary>The readout that the audition file states; null when nobody knows it.</summary>
    public required double? StatedReadoutSeconds { get; init; }

    /// <summary>The lamp's family.</summary>
    public required string Light { get; init; }

    /// <summary>Modulation depth at a format, after the exposure, over all moments at which it can begin.</summary>
    public double TrueDepth((FrameRate Rate, double ExposureSeconds, string Name) format) => CaseTruth.DepthAt(Takes[0].Recipe, format.ExposureSeconds);

    /// <summary>The evening of a seed.</summary>
    public static EveningCase FromSeed(int seed) => FromSeed(seed, mostPixels: 22e6);

    /// <summary>An evening of the same kinds with small clips.</summary>
    public static EveningCase SmallFromSeed(int seed) => FromSeed(seed, mostPixels: 3e6);

    private static EveningCase FromSeed(int seed, double mostPixels)
    {
        Dice dice = Dice.For(seed, "evening");
        LightChoice light = LightChoice.Throw(Dice.For(seed, "light"));
        FrameRate[] rates = [new(24000, 1001), new(25), new(30000, 1001), new(50), new(60000, 1001)];
        FrameRate house = dice.Of(rates);
        List<FrameRate> shot = [house];
        int takes = dice.Weighted((15, 1), (65, 2), (20, 3));
        while (shot.Count < takes) shot.Add(dice.Chance(0.85) ? dice.Of([.. rates.Where(r => !shot.Contains(r))]) : dice.Of([.. shot]));

        // One camera: the readout is that of its sensor, whatever the rate.
        double readout = dice.Chance(0.06) ? 0 : Math.Min(dice.LogBetween(4, 33) / 1000, shot.Min(r => 0.98 / r.FramesPerSecond));
        bool readoutKnown = dice.Chance(0.9);
        List<ValidationCase> clips = [];
        foreach (FrameRate rate in shot)
        {
            // The guide asks for a short shutter; not everybody reads it.
            double over = dice.Of(250.0, 500, 640, 1000, 2000);
            (double exposure, string name) = dice.Chance(0.75) ? (1 / over, Invariant($"1/{over}")) : CameraChoice.Shutter(dice, 1 / rate.FramesPerSecond);
            CameraChoice camera = new(rate, exposure, name, dice.Chance(0.95), readout, readoutKnown, readout);
            int takeSeed = seed + (clips.Count + 1) * 1_000_000;
            // A log curve needs a table beside the clip, which an audition has no word for.
            ValidationCase take;
            do take = CaseBuilder.Build(takeSeed++, mostPixels, (light, camera));
            while (take.WithCube);
            clips.Add(take);
        }
        List<(FrameRate Rate, double ExposureSeconds, string Name)> formats = [];
        while (formats.Count < 2)
        {
            (double exposure, string name) = CameraChoice.Shutter(dice, 1 / house.FramesPerSecond);
            if (formats.TrueForAll(f => f.Name != name)) formats.Add((house, exposure, name));
        }
        return new EveningCase
        {
            Seed = seed,
            Takes = clips,
            Formats = formats,
            StatedReadoutSeconds = readoutKnown ? readout : null,
            Light = light.Kind,
        };
    }

    /// <summary>One line for lists.</summary>
    public string Summary() => Invariant($"{Light}; house {Formats[0].Rate} at {string.Join(" and ", Formats.Select(f => f.Name))}; ")
        + string.Join("; ", Takes.Select(t => Invariant($"take {t.Recipe.FrameRate} at {t.Properties["shutter"]}{(t.StatedExposureSeconds is null ? " (not told)" : "")}, {t.Properties["codec"]}, {t.Properties["scene"]}, {t.Properties["trap"]}")))
        + Invariant($"; readout {Takes[0].Recipe.ReadoutSeconds * 1000:0.#} ms{(StatedReadoutSeconds is null ? " (not told)" : "")}");
}
