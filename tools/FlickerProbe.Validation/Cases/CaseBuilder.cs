using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Scene;
using static System.FormattableString;

namespace FlickerProbe.Validation.Cases;

/// <summary>Puts the thrown parts of a case together so that they fit.</summary>
internal static class CaseBuilder
{
    /// <summary>The case of a seed with at most so many pixels over all its frames, so that it stays a matter of seconds.</summary>
    /// <param name="seed">The seed.</param>
    /// <param name="mostPixels">Pixels of all frames together.</param>
    /// <param name="take">What is given where the clip is a take of an evening.</param>
    public static ValidationCase Build(int seed, double mostPixels, EveningTake? take = null)
    {
        Dice dice = Dice.For(seed, "scene");
        string trap = FaultChoice.Trap(Dice.For(seed, "trap"));
        if (take is { WithCare: true } || (take is not null && trap is "interlaced" or "conformed" or "other light" or "other light, reference")) trap = "none";
        bool interlaced = trap == "interlaced", turned = trap == "rotated" || dice.Chance(0.04);
        LightChoice light = take?.Light ?? LightChoice.Throw(Dice.For(seed, "light"));
        CameraChoice camera = take?.Camera ?? CameraChoice.Throw(Dice.For(seed, "camera"), interlaced, trap == "conformed");
        RecordingChoice recording = RecordingChoice.Throw(Dice.For(seed, "recording"), interlaced, turned, unevenStamps: trap is "jitter" or "dropped" or "variable rate");

        int height = dice.Weighted((20, 180), (12, 240), (14, 270), (10, 288), (24, 360), (8, 480), (8, 540), (4, 720));
        int width = 16 * dice.Whole(6, 20);
        if (interlaced) height = dice.Of(288, 480, 576);
        double seconds = dice.Chance(0.15) ? dice.Between(2.5, 4) : dice.Between(4, 8);
        double fps = camera.Rate.FramesPerSecond;
        while (width > 96 && width * height * seconds * fps > mostPixels) width -= 16;
        // Where the picture alone is too much, fewer rows; a clip under 2.5 s is another matter.
        while (height > 180 && width * height * 2.5 * fps > mostPixels) height -= interlaced ? 48 : 30;
        seconds = Math.Max(2.5, Math.Min(seconds, mostPixels / (width * height * fps)));

        List<LightOnSurface> lights = [];
        List<LightSource> sources = [];
        for (int i = 0; i < light.Lights.Count; i++)
        {
            string name = i == 0 ? "lamp" : "second lamp";
            sources.Add(LightSource.Of(name, light.Lights[i].Light));
            lights.Add(new LightOnSurface { Source = name, Share = light.Lights[i].Share });
        }
        double other = trap is "other light" or "other light, reference" ? dice.Between(0.05, 0.6) : 0;
        if (other > 0)
        {
            sources.Add(LightSource.Of("room", new SteadyLight()));
            lights = [.. lights.Select(l => l with { Share = l.Share * (1 - other) }), new LightOnSurface { Source = "room", Share = other }];
        }

        double level = LevelThatFits(dice, light, other, camera, recording);
        Shading shading = new()
        {
            TopToBottom = dice.Chance(0.6) ? dice.Between(-0.25, 0.25) : 0,
            LeftToRight = dice.Chance(0.6) ? dice.Between(-0.25, 0.25) : 0,
            Texture = dice.Chance(0.5) ? dice.LogBetween(0.005, 0.1) : 0,
            BarDepth = dice.Chance(0.12) ? dice.LogBetween(0.01, 0.2) : 0,
            BarRows = dice.Between(12, 120),
        };
        if (take is { WithCare: true }) seconds = Math.Max(10, seconds);
        int frames = (int)Math.Round(seconds * fps);
        FaultChoice faults = FaultChoice.Throw(Dice.For(seed, "faults"), trap, camera.Rate, frames, turned, lights, width, height, level);
        ClipRecipe recipe = new()
        {
            Name = Invariant($"seed {seed}"),
            Seed = seed,
            FrameRate = camera.Rate,
            ExposureSeconds = camera.ExposureSeconds,
            ReadoutSeconds = camera.ReadoutSeconds,
            Frames = frames,
            Width = width,
            Height = height,
            StartSeconds = dice.Between(0, 10),
            Mains = light.Mains,
            Sources = sources,
            Surfaces = [new Surface { Name = "wall", SignalLevel = level, Lights = lights, Shading = shading }],
            Passers = faults.Passers,
            Curve = recording.Curve,
            Noise = new SensorNoise { CodesAtMid = dice.LogBetween(0.3, 4), ShotShare = dice.Between(0.3, 1), FrameGain = dice.Chance(0.15) ? dice.LogBetween(1e-4, 1e-3) : 0 },
            Layout = recording.Layout,
            Faults = faults.Faults,
            Encoding = recording.Encoding,
        };

        PixelArea region = dice.Chance(0.4) ? new PixelArea(0, 0, width, height) : Inset(dice, width, height);
        bool clean = trap is "none" or "other light" or "other light, reference";
        return new ValidationCase
        {
            Seed = seed,
            Recipe = recipe,
            Extension = recording.Extension,
            CodedRegion = region,
            DisplayedRegion = Displayed(region, width, height, faults.Faults.RotationDegrees),
            StatedExposureSeconds = camera.ShutterKnown ? camera.ExposureSeconds : null,
            StatedReadoutSeconds = camera.ReadoutKnown ? camera.StatedReadoutSeconds : null,
            OtherFormat = CameraChoice.ThrowOther(Dice.For(seed, "other format"), camera),
            StatedRate = faults.Faults.ConformedRate is null ? null : camera.Rate,
            WithCube = recording.CurveName == "log",
            Reference = trap == "other light, reference" ? LampOff(recipe) : null,
            Fundamentals = light.FundamentalsHz,
            IsGoodRecording = recording.IsGood && clean,
            IsLosslessClass = recording.IsLosslessClass,
            Properties = new Dictionary<string, string>
            {
                ["light"] = light.Kind,
                ["rate"] = camera.Rate.ToString(),
                ["shutter"] = camera.ExposureName,
                ["shutter known"] = camera.ShutterKnown ? "yes" : "no",
                ["readout"] = camera.ReadoutSeconds == 0 ? "global" : (camera.ReadoutSeconds < 0 ? "upwards " : "") + Math.Abs(camera.ReadoutSeconds * 1000) switch { < 8 => "4–8 ms", < 16 => "8–16 ms", < 24 => "16–24 ms", _ => "24–33 ms" },
                ["readout known"] = camera.ReadoutKnown ? "yes" : "no",
                ["codec"] = recording.Name,
                ["bits"] = Invariant($"{recording.Layout.Bits}"),
                ["range"] = recording.Layout.FullRange ? "full" : "limited",
                ["curve"] = recording.CurveName,
                ["noise"] = recipe.Noise.CodesAtMid switch { < 0.7 => "0.3–0.7 codes", < 1.6 => "0.7–1.6 codes", _ => "1.6–4 codes" },
                ["level"] = level switch { < 0.35 => "0.2–0.35", < 0.6 => "0.35–0.6", _ => "0.6–0.85" },
                ["scene"] = shading.BarDepth > 0 ? "barred" : shading.Texture > 0 ? "textured" : "plain",
                ["rotation"] = Invariant($"{faults.Faults.RotationDegrees}°"),
                ["trap"] = trap,
                ["seconds"] = seconds switch { < 4 => "2.5–4", < 6 => "4–6", < 9 => "6–8", _ => "10" },
            },
        };
    }

    /// <summary>A signal level at which the recorded peaks stay inside the signal scale, as an exposure meter would see to; one case in twenty is let run over.</summary>
    private static double LevelThatFits(Dice dice, LightChoice light, double other, CameraChoice camera, RecordingChoice recording)
    {
        (double lowest, double highest) = recording.CurveName switch { "pq" => (0.3, 0.55), "log" => (0.35, 0.65), "hlg" => (0.25, 0.7), _ => (0.2, 0.85) };
        double level = dice.Between(lowest, highest);
        LightAnalysis analysis = LightAnalysis.Of(CaseTruth.Mixture(light.Lights.Select(l => (l.Light, l.Share * (1 - other))).Append((new SteadyLight(), other)), 1));
        double peak = analysis.OnCameraExtremes(camera.ExposureSeconds).Max / analysis.Mean;
        if (dice.Chance(0.05)) return level;
        while (level > 0.12 && recording.Curve.Encode(recording.Curve.Decode(level) * peak * 1.3) > 0.97) level -= 0.01;
        return level;
    }

    private static PixelArea Inset(Dice dice, int width, int height)
    {
        int w = 2 * dice.Whole(width / 4, width / 2), h = dice.Whole((int)(0.45 * height), height);
        return new PixelArea(dice.Whole(0, width - w), dice.Whole(0, height - h), w, h);
    }

    /// <summary>Where a rectangle of the coded picture is shown when players turn the picture clockwise.</summary>
    internal static (int, int, int, int) Displayed(PixelArea a, int width, int height, int degrees) => degrees switch
    {
        90 => (height - a.Y - a.Height, a.X, a.Height, a.Width),
        180 => (width - a.X - a.Width, height - a.Y - a.Height, a.Width, a.Height),
        270 => (a.Y, width - a.X - a.Width, a.Height, a.Width),
        _ => (a.X, a.Y, a.Width, a.Height),
    };

    private static ClipRecipe LampOff(ClipRecipe recipe) => recipe with
    {
        Seed = recipe.Seed + 1_000_000_000,
        Frames = Math.Min(recipe.Frames, (int)(1.5 * recipe.FrameRate.FramesPerSecond)),
        Surfaces = [.. recipe.Surfaces.Select(s => s with { Lights = [.. s.Lights.Where(l => l.Source == "room")] })],
        Passers = [],
        Faults = new ClipFaults { RotationDegrees = recipe.Faults.RotationDegrees },
    };
}
