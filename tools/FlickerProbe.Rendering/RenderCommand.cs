using System.CommandLine;
using System.Globalization;
using System.Text.Json;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Encoding;
using FlickerProbe.Rendering.Fixtures;
using FlickerProbe.Rendering.Light;
using FlickerProbe.Rendering.Scene;
using FlickerProbe.Rendering.Truth;

namespace FlickerProbe.Rendering;

/// <summary>The command line: a fixture and a camera make a clip with its truth beside it.</summary>
internal static class RenderCommand
{
    private static readonly Argument<string> Input = new("fixture") { Description = "Fixture (.yaml); or a recipe, or a truth written before (.json), to make that clip again: the camera's options then count for nothing." };
    private static readonly Option<string> Out = new("--out", "-o") { Description = "Clip to write: .mp4, .mov, .mkv, .avi, or a still .png, .jpg.", Required = true };
    private static readonly Option<string?> FrameRateOption = new("--frame-rate") { Description = "Frames per second: 25, 29.97, 30000/1001." };
    private static readonly Option<string?> Shutter = new("--shutter") { Description = "Exposure time: 1/250, 4ms, 180deg." };
    private static readonly Option<string?> Readout = new("--readout") { Description = "Readout time of the full height: 16ms, -16ms (bottom first), global." };
    private static readonly Option<string> Dimmer = new("--dimmer") { Description = "Dimmer level, or several to step through: 100%,50%,10%.", DefaultValueFactory = _ => "100%" };
    private static readonly Option<string> Size = new("--size") { Description = "Coded picture, pixels.", DefaultValueFactory = _ => "640x360" };
    private static readonly Option<double> Seconds = new("--seconds") { Description = "Length of the clip.", DefaultValueFactory = _ => 5 };
    private static readonly Option<double> Level = new("--level") { Description = "Signal of the lit wall, 0 black … 1 white.", DefaultValueFactory = _ => 0.6 };
    private static readonly Option<string> Ambient = new("--ambient") { Description = "Share of the wall's light that is steady light from elsewhere.", DefaultValueFactory = _ => "0%" };
    private static readonly Option<bool> LampOff = new("--lamp-off") { Description = "A reference take: the same view with only the steady light." };
    private static readonly Option<bool> Plain = new("--plain") { Description = "Nothing but an evenly lit wall." };
    private static readonly Option<double> Noise = new("--noise") { Description = "Sensor noise at mid-scale, 8-bit code steps.", DefaultValueFactory = _ => 1.4 };
    private static readonly Option<string> Codec = new("--codec") { Description = "h264, hevc, prores, mjpeg, ffv1, mpeg2, vp9.", DefaultValueFactory = _ => "h264" };
    private static readonly Option<double?> Crf = new("--crf") { Description = "The encoder's quality number, lower is better; left out: a good one." };
    private static readonly Option<bool> Lossless = new("--lossless") { Description = "Bit-exact." };
    private static readonly Option<int?> Bits = new("--bits") { Description = "Bits per sample: 8, 10, 12; left out: 8, for ProRes 10." };
    private static readonly Option<string> Curve = new("--curve") { Description = "bt709, srgb, gamma22, gamma24, hlg, pq, linear.", DefaultValueFactory = _ => "bt709" };
    private static readonly Option<string> MainsDrift = new("--mains-drift") { Description = "Constant deviation of the mains, such as 0.01Hz.", DefaultValueFactory = _ => "0Hz" };
    private static readonly Option<int> Seed = new("--seed") { Description = "Seed of everything random.", DefaultValueFactory = _ => 1 };

    public static RootCommand Create()
    {
        RootCommand root = new("Renders a clip of a stage light as a camera would record it, with the truth beside it (CLIP.truth.json).")
        {
            Input, Out, FrameRateOption, Shutter, Readout, Dimmer, Size, Seconds, Level, Ambient, LampOff, Plain, Noise, Codec, Crf, Lossless, Bits, Curve, MainsDrift, Seed,
        };
        root.SetAction(Run);
        return root;
    }

    public static int Refuse(ParseResult parsed)
    {
        foreach (System.CommandLine.Parsing.ParseError e in parsed.Errors) Console.Error.WriteLine(e.Message);
        return 2;
    }

    private static int Run(ParseResult p)
    {
        try
        {
            ClipRecipe recipe = p.GetRequiredValue(Input).EndsWith(".json", StringComparison.OrdinalIgnoreCase)
                ? FromJson(File.ReadAllText(p.GetRequiredValue(Input)))
                : FromFixture(p);
            string path = p.GetRequiredValue(Out);
            ClipTruth truth = ClipRenderer.Render(recipe, path, writeTruth: true);
            foreach (RegionTruth region in truth.Regions)
            {
                LightTruth light = region.Steps[0].Light ?? region.Steps[0].Recorded;
                Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
                    $"{path}: {region.Name}: {truth.Frames.Count} frames, depth of the light {light.ModulationDepth:P2}, on camera {light.OnCameraDepth:P2}"));
            }

            return 0;
        }
        catch (Exception e) when (e is ArgumentException or FormatException or FixtureFileException or ClipEncodingException or IOException or JsonException)
        {
            Console.Error.WriteLine(e.Message);
            return e is ClipEncodingException ? 4 : 2;
        }
    }

    /// <summary>A recipe, or a truth, which holds one.</summary>
    private static ClipRecipe FromJson(string json)
    {
        using JsonDocument document = JsonDocument.Parse(json);
        return document.RootElement.TryGetProperty("recipe", out JsonElement inner) ? ClipRecipe.FromJson(inner.GetRawText()) : ClipRecipe.FromJson(json);
    }

    private static ClipRecipe FromFixture(ParseResult p)
    {
        Fixture fixture = FixtureFile.Read(p.GetRequiredValue(Input));
        FrameRate rate = FrameRate.Parse(Needed(p, FrameRateOption));
        double[] dimmers = [.. p.GetRequiredValue(Dimmer).Split(',').Select(Quantity.Share)];
        double seconds = p.GetValue(Seconds), ambient = Quantity.Share(p.GetRequiredValue(Ambient));
        string[] size = p.GetRequiredValue(Size).Split('x');
        if (size.Length != 2 || !int.TryParse(size[0], NumberStyles.None, CultureInfo.InvariantCulture, out int width)
            || !int.TryParse(size[1], NumberStyles.None, CultureInfo.InvariantCulture, out int height))
            throw new FormatException($"'{p.GetValue(Size)}' is not a picture size. Write 640x360.");

        ClipCodec codec = Named<ClipCodec>(p.GetRequiredValue(Codec));
        LightSource lamp = fixture.ToSweep(dimmers, seconds / dimmers.Length);
        List<LightOnSurface> lights = [];
        if (!p.GetValue(LampOff)) lights.Add(new LightOnSurface { Source = lamp.Name, Share = 1 - ambient });
        if (ambient > 0 || p.GetValue(LampOff)) lights.Add(new LightOnSurface { Source = "room", Share = ambient });
        return new ClipRecipe
        {
            Name = $"{fixture.Name} at {p.GetValue(Dimmer)}",
            FrameRate = rate,
            ExposureSeconds = Quantity.Shutter(Needed(p, Shutter), rate),
            ReadoutSeconds = Quantity.Readout(Needed(p, Readout)),
            Frames = Math.Max(1, (int)Math.Round(seconds * rate.FramesPerSecond)),
            Width = width,
            Height = height,
            Seed = p.GetValue(Seed),
            StartSeconds = 0,
            Mains = new MainsSupply { NominalHz = fixture.MainsHz, OffsetHz = Quantity.Hertz(p.GetRequiredValue(MainsDrift)) },
            Sources = [lamp, LightSource.Of("room", new SteadyLight())],
            Surfaces = p.GetValue(Plain) ? [Scenes.Wall(lights, p.GetValue(Level))] : Scenes.CardBeforeWall(lights, p.GetValue(Level), width, height),
            Curve = new TransferCurve { Kind = Named<CurveKind>(p.GetRequiredValue(Curve)) },
            Noise = new SensorNoise { CodesAtMid = p.GetValue(Noise) },
            Layout = new PixelLayout { Bits = p.GetValue(Bits) ?? (codec == ClipCodec.ProRes ? 10 : 8), Chroma = codec == ClipCodec.ProRes ? ChromaSampling.C422 : ChromaSampling.C420 },
            Encoding = new ClipEncoding { Codec = codec, Quality = p.GetValue(Crf), Lossless = p.GetValue(Lossless) },
        };
    }

    /// <summary>No frame rate, shutter or readout appears from nowhere.</summary>
    private static string Needed(ParseResult p, Option<string?> option) =>
        p.GetValue(option) ?? throw new ArgumentException($"{option.Name} is missing: {option.Description}");

    private static T Named<T>(string text) where T : struct, Enum =>
        Enum.TryParse(text, true, out T value) && Enum.IsDefined(value) ? value
            : throw new ArgumentException($"'{text}' is not one of {string.Join(", ", Enum.GetNames<T>().Select(n => n.ToLowerInvariant()))}.");
}
