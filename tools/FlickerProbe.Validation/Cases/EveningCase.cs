using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Encoding;
using static System.FormattableString;

namespace FlickerProbe.Validation.Cases;

/// <summary>One fixture of an audition: the takes shot of one lamp, and the formats of the house for which it is judged.</summary>
internal sealed record EveningCase
{
    /// <summary>The seed that makes it again.</summary>
    public required int Seed { get; init; }

    /// <summary>The takes: one lamp, one camera.</summary>
    public required IReadOnlyList<ValidationCase> Takes { get; init; }

    /// <summary>What the house shoots.</summary>
    public required IReadOnlyList<(FrameRate Rate, double ExposureSeconds, string Name)> Formats { get; init; }

    /// <summary>The readout that the audition file states; null when nobody knows it.</summary>
    public required double? StatedReadoutSeconds { get; init; }

    /// <summary>The lamp's family.</summary>
    public string Light => Lamp.Kind;

    public required LightChoice Lamp { get; init; }

    /// <summary>Readout of the sensor, whatever the rate; 0 global.</summary>
    public required double ReadoutSeconds { get; init; }

    private double MostPixels { get; init; }

    /// <summary>Modulation depth at a format, after the exposure, over all moments at which it can begin, of the lamp as the first take has it.</summary>
    public double TrueDepth((FrameRate Rate, double ExposureSeconds, string Name) format) => CaseTruth.DepthAt(Takes[0].Recipe, format.ExposureSeconds);

    /// <summary>The evening of a seed: one to three takes, mostly at different frame rates and with short shutters as the guide asks, with the traps of the single clips.</summary>
    public static EveningCase FromSeed(int seed) => Thrown(seed, mostPixels: 22e6);

    /// <summary>An evening of the same kinds with small clips.</summary>
    public static EveningCase SmallFromSeed(int seed) => Thrown(seed, mostPixels: 3e6);

    /// <summary>The first take of an evening that is shot with care, at the house's own rate; what comes after it is for the program to ask.</summary>
    public static EveningCase FirstTake(int seed)
    {
        Dice dice = Dice.For(seed, "evening");
        FrameRate house = dice.Of(Rates);
        EveningCase evening = Before(seed, dice, [house, .. Rates], 22e6);
        (double exposure, string name) = ShortShutter(dice);
        return evening with { Takes = [evening.Take(house, exposure, name, shutterKnown: true, withCare: true)] };
    }

    /// <summary>The evening with one more take as the program asked for it.</summary>
    public EveningCase With(FrameRate rate, double exposureSeconds) =>
        this with { Takes = [.. Takes, Take(rate, exposureSeconds, Invariant($"1/{1 / exposureSeconds:0.##}"), shutterKnown: true, withCare: true)] };

    /// <summary>The evening with a take shot again in place of the old one, now with bits to spare, as the program asked for it.</summary>
    public EveningCase Again(FrameRate rate, double exposureSeconds)
    {
        ValidationCase old = Takes.First(t => t.Recipe.FrameRate == rate && Math.Abs(t.Recipe.ExposureSeconds / exposureSeconds - 1) < 0.01);
        ValidationCase again = With(rate, exposureSeconds).Takes[^1];
        again = again with { Extension = ".mp4", Recipe = again.Recipe with { Encoding = new ClipEncoding { Codec = ClipCodec.H264, Quality = 8 }, Layout = new PixelLayout() } };
        return this with { Takes = [.. Takes.Select(t => ReferenceEquals(t, old) ? again : t)] };
    }

    /// <summary>One line for lists.</summary>
    public string Summary() => Invariant($"{Light}; house {Formats[0].Rate} at {string.Join(" and ", Formats.Select(f => f.Name))}; ")
        + string.Join("; ", Takes.Select(t => Invariant($"take {t.Recipe.FrameRate} at {t.Properties["shutter"]}{(t.StatedExposureSeconds is null ? " (not told)" : "")}, {t.Properties["codec"]}, {t.Properties["scene"]}, {t.Properties["trap"]}")))
        + Invariant($"; readout {Takes[0].Recipe.ReadoutSeconds * 1000:0.#} ms{(StatedReadoutSeconds is null ? " (not told)" : "")}");

    private static readonly FrameRate[] Rates = [new(24000, 1001), new(25), new(30000, 1001), new(50), new(60000, 1001)];

    private static EveningCase Thrown(int seed, double mostPixels)
    {
        Dice dice = Dice.For(seed, "evening");
        List<FrameRate> shot = [dice.Of(Rates)];
        int takes = dice.Weighted((15, 1), (65, 2), (20, 3));
        while (shot.Count < takes) shot.Add(dice.Chance(0.85) ? dice.Of([.. Rates.Where(r => !shot.Contains(r))]) : dice.Of([.. shot]));
        EveningCase evening = Before(seed, dice, shot, mostPixels);
        foreach (FrameRate rate in shot)
        {
            // The guide asks for a short shutter; not everybody reads it.
            (double exposure, string name) = dice.Chance(0.75) ? ShortShutter(dice) : CameraChoice.Shutter(dice, 1 / rate.FramesPerSecond);
            evening = evening with { Takes = [.. evening.Takes, evening.Take(rate, exposure, name, dice.Chance(0.95), withCare: false)] };
        }
        return evening;
    }

    /// <summary>Lamp, camera and house, before any take; the house shoots at the first rate.</summary>
    private static EveningCase Before(int seed, Dice dice, List<FrameRate> rates, double mostPixels)
    {
        double readout = dice.Chance(0.06) ? 0 : Math.Min(dice.LogBetween(4, 33) / 1000, rates.Min(r => 0.98 / r.FramesPerSecond));
        bool readoutKnown = dice.Chance(0.9);
        List<(FrameRate Rate, double ExposureSeconds, string Name)> formats = [];
        while (formats.Count < 2)
        {
            (double exposure, string name) = CameraChoice.Shutter(dice, 1 / rates[0].FramesPerSecond);
            // 180° and 1/100 s are one format at 50 frames a second.
            if (formats.TrueForAll(f => Math.Abs(f.ExposureSeconds / exposure - 1) > 0.01)) formats.Add((rates[0], exposure, name));
        }
        return new EveningCase
        {
            Seed = seed,
            Takes = [],
            Formats = formats,
            StatedReadoutSeconds = readoutKnown ? readout : null,
            Lamp = LightChoice.Throw(Dice.For(seed, "light")),
            ReadoutSeconds = readout,
            MostPixels = mostPixels,
        };
    }

    private static (double Seconds, string Name) ShortShutter(Dice dice)
    {
        double over = dice.Of(250.0, 500, 640, 1000, 2000);
        return (1 / over, Invariant($"1/{over}"));
    }

    /// <summary>The lamp as it is when the next take is shot: the mains go on as they do, and the clock of one cheap driver in four goes with its warmth.</summary>
    private LightChoice LampNow()
    {
        if (Takes.Count == 0) return Lamp;
        Dice dice = Dice.For(Seed + Takes.Count, "clock");
        double mainsHz = dice.Normal(0.01), clock = (dice.Chance(0.5) ? -1 : 1) * dice.LogBetween(1e-4, 5e-3);
        LightChoice lamp = Lamp with { Mains = Lamp.Mains with { OffsetHz = Lamp.Mains.OffsetHz + mainsHz } };
        return Dice.For(Seed, "cheap driver").Chance(0.25) ? lamp.WithClocksAt(1 + clock) : lamp;
    }

    private ValidationCase Take(FrameRate rate, double exposureSeconds, string name, bool shutterKnown, bool withCare)
    {
        CameraChoice camera = new(rate, exposureSeconds, name, shutterKnown, ReadoutSeconds, StatedReadoutSeconds is not null, ReadoutSeconds);
        // A log curve needs a table beside the clip, which the audition files made here have no place for.
        EveningTake given = new(LampNow(), camera, withCare);
        ValidationCase take;
        int seed = 1_000_000 + Takes.Select(t => t.Seed).Append(Seed).Max();
        do take = CaseBuilder.Build(seed++, MostPixels, given);
        while (take.WithCube || (withCare && !take.IsGoodRecording));
        return take;
    }
}
