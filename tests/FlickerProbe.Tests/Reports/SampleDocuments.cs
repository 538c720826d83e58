using FlickerProbe.Camera;
using FlickerProbe.Files.Plots;
using FlickerProbe.Files.Results;
using FlickerProbe.Measurement;
using FlickerProbe.Units;
using SkiaSharp;

namespace FlickerProbe.Tests.Reports;

/// <summary>Made-up results for looking at pages and testing what they say. All names and numbers are invented.</summary>
internal static class SampleDocuments
{
    public static readonly DateTimeOffset Created = new(2030, 3, 14, 18, 30, 0, TimeSpan.Zero);

    private static readonly (string Rate, double Exposure)[] Formats = [("30000/1001", 1.0 / 60), ("30000/1001", 1.0 / 100)];

    private static readonly Lazy<byte[]> StillOfWall = new(() => Still(640, 360));
    private static readonly Lazy<ResultDocument> Single = new(MakeSingleClip), Whole = new(MakeAudition);

    /// <summary>One clip, one region, a light that flickers.</summary>
    public static ResultDocument SingleClip() => Single.Value;

    /// <summary>An audition of four fixtures at several levels: one steady, one with mains ripple, one pulsed, one that can't be told.</summary>
    public static ResultDocument Audition() => Whole.Value;

    private static ResultDocument MakeSingleClip()
    {
        FixtureResult fixture = Fixture("wall", [(null, Line.Ripple(0.088))], verdict: "fail", price: null) with { RiskGrid = null, SafeExposures = null };
        return new ResultDocument { Tool = new ToolInfo("0.1.0"), Created = Created, Fixtures = [fixture] };
    }

    private static ResultDocument MakeAudition() => new()
    {
        Tool = new ToolInfo("0.1.0"),
        Title = "Lecture hall wash, spring",
        TestedBy = "House technician",
        TestedOn = "2030-03-14",
        Created = Created,
        Fixtures =
        [
            Fixture("Wash A", Levels(Line.Steady, Line.Steady, Line.Steady, Line.Steady, Line.Steady, Line.Steady), "pass", "240 EUR") with
            {
                Mode = "8-bit, high refresh", Firmware = "2.1", Advice = ["Use it from 5 % to 100 % at both house formats."],
            },
            Fixture("Wash B", Levels(Line.Ripple(0.012), Line.Ripple(0.012), Line.Ripple(0.014), Line.Ripple(0.02), Line.Ripple(0.05), Line.Ripple(0.088)), "fail", "180 EUR") with
            {
                Advice = ["Shoot at 1/60 s, where its 120 Hz ripple is hidden; do not use it at 1/100 s below 50 %.", "Keep it above 50 % when other cameras are in the room."],
            },
            Fixture("Profile C", Levels(Line.Pulses(0.02), Line.Pulses(0.2), Line.Pulses(0.45), Line.Pulses(0.7), Line.Pulses(0.85), Line.Pulses(0.9)), "fail", "310 EUR") with
            {
                Advice = ["Do not dim it on camera: use it at full or not at all."],
            },
            Fixture("Cyc D", [(1.0, Line.Steady), (0.5, Line.Open)], "watch", "95 EUR") with
            {
                NextTake = "Shoot Cyc D at 50 % for 10 s at 25 frames per second and 1/250 s, the lit card filling the picture height.",
                Notes = "Loan unit.",
            },
        ],
    };

    /// <summary>Names made to break pages: markup, formulas, control characters, right-to-left marks, very long words.</summary>
    public static ResultDocument HostileNames()
    {
        ResultDocument sample = Audition();
        string[] names =
        [
            "<script>alert('x')</script><img src=x onerror=alert(1)>",
            "=HYPERLINK(\"http://example.invalid\")\u001b[31m \u202Egnirts\u202C مصباح",
            "Extraordinarilylongfixturenamewithoutanyspaceatallthatgoesonandonuntiltheendofthepageandbeyonditsmargin",
            "-2+3 & \"quotes\" 'single' {{ 7 | times: 7 }} %s \0 \t\r\n new line",
        ];
        return sample with
        {
            Title = "</title><b>Bold & co.</b> \u2066\u0007",
            Fixtures = sample.Fixtures.Select((fixture, i) => fixture with
            {
                Name = names[i],
                Notes = names[3 - i],
                Levels = fixture.Levels.Select(level => level with { Takes = level.Takes.Select(take => take with { Clip = names[i] + "/../a;b,c.mp4" }).ToList() }).ToList(),
            }).ToList(),
        };
    }

    private enum Kind { Steady, Ripple, Pulses, Open }

    private sealed record Line(Kind Kind, double Depth)
    {
        public static readonly Line Steady = new(Kind.Steady, 0.0009);
        public static readonly Line Open = new(Kind.Open, 0.02);
        public static Line Ripple(double depth) => new(Kind.Ripple, depth);
        public static Line Pulses(double depth) => new(Kind.Pulses, depth);
        public double FrequencyHz => Kind switch { Kind.Ripple => 120, Kind.Pulses => 1000.3, Kind.Open => 400, _ => 0 };
    }

    private static (double? Dimmer, Line Line)[] Levels(params Line[] lines)
    {
        double[] dimmers = [1.0, 0.75, 0.5, 0.25, 0.1, 0.05];
        return lines.Select((line, i) => ((double?)dimmers[i], line)).ToArray();
    }

    private static FixtureResult Fixture(string name, IReadOnlyList<(double? Dimmer, Line Line)> lines, string verdict, string? price)
    {
        List<LevelResult> levels = lines.Select((pair, i) => Level(name, pair.Dimmer, pair.Line, i)).ToList();
        FormatResult worst = levels.SelectMany(level => level.Formats).MaxBy(format => format.ModulationDepth.High)!;
        return new FixtureResult
        {
            Name = name,
            Verdict = verdict,
            Price = price,
            Reasons = worst.Reasons,
            Levels = levels,
            SafeExposures = verdict == "pass"
                ? [new("30000/1001", 1.0 / 60, "1/60 s", Estimate.AtMost(0.0016)), new("30000/1001", 1.0 / 100, "1/100 s", Estimate.AtMost(0.0019))]
                : lines[0].Line.Kind == Kind.Ripple ? [new("30000/1001", 1.0 / 60, "1/60 s", Estimate.AtMost(0.002))] : [],
            RiskGrid = Grid(lines[^1].Line),
        };
    }

    private static LevelResult Level(string fixture, double? dimmer, Line line, int index)
    {
        List<FormatResult> formats = Formats.Select(format => Format(line, format.Rate, format.Exposure)).ToList();
        return new LevelResult
        {
            Dimmer = dimmer,
            Verdict = formats.MaxBy(format => Array.IndexOf(["pass", "watch", "fail"], format.Verdict))!.Verdict,
            Light = Light(line),
            Formats = formats,
            Takes = [Take(fixture, dimmer, line, index)],
            Room = new RoomResult(
            [
                new("Flicker of the fundamental against IEEE Std 1789-2015, low-risk line", line.Kind == Kind.Steady ? null : line.Depth * 100, "%", line.Kind == Kind.Ripple ? 9.6 : null,
                    "IEEE Std 1789-2015, as quoted in secondary texts", "Judges the fundamental only."),
            ]),
        };
    }

    private static FormatResult Format(Line line, string rate, double exposure)
    {
        bool hidden = line.Kind == Kind.Ripple && exposure > 0.015;
        Estimate depth = line.Kind switch
        {
            Kind.Steady => Estimate.AtMost(0.0016 + exposure / 100),
            Kind.Open => new Estimate(0.008, 0.0031, 0.042),
            _ when hidden => Estimate.AtMost(0.002),
            _ => new Estimate(line.Depth, line.Depth * 0.97, line.Depth * 1.04),
        };
        string verdict = depth.High < 0.005 ? "pass" : depth.Low > 0.02 ? "fail" : "watch";
        ReasonResult reason = verdict switch
        {
            "pass" => new("under-pass-line", FormattableString.Invariant($"At most {depth.High * 100:0.0#} % of modulation on camera, under the pass line of 0.5 %.")) { Line = 0.005, Source = "common practice, no source" },
            "fail" => new("over-fail-line", FormattableString.Invariant($"At least {depth.Low * 100:0.#} % of modulation on camera at 1/{1 / exposure:0} s, over the fail line of 2 %.")) { Line = 0.02, Source = "common practice, no source" },
            _ => new("between-lines", "The footage leaves 0.3 % to 4.2 % open: several true frequencies fit what was seen."),
        };
        return new FormatResult
        {
            Camera = "hall",
            FrameRate = rate,
            ExposureTime = exposure,
            ReadoutTime = 0.016,
            Verdict = verdict,
            ModulationDepth = depth,
            BeatHz = depth.Low > 0 ? [AliasHz(line)] : [],
            Bands = depth.Low > 0 ? line.FrequencyHz * 0.016 : null,
            Appearance = depth.Low > 0 ? (line.Kind == Kind.Ripple ? "bands that creep through the picture" : "rolling bands") : "nothing above the bound",
            Reasons = [reason],
        };
    }

    private static double AliasHz(Line line) => Math.Abs(AliasFrequency.Of(line.FrequencyHz, FrameRate.FromRational(30000, 1001)));

    private static LightResult Light(Line line)
    {
        if (line.Kind == Kind.Steady)
            return new LightResult { CandidatesHz = [], ModulationDepth = Estimate.AtMost(0.0018), Components = [] };
        bool open = line.Kind == Kind.Open;
        Estimate frequency = new(line.FrequencyHz, line.FrequencyHz - 0.002, line.FrequencyHz + 0.0021);
        return new LightResult
        {
            FundamentalHz = open ? null : frequency,
            CandidatesHz = open ? [370.03, 400, 429.97] : [line.FrequencyHz],
            ModulationDepth = new Estimate(line.Depth * 1.05, line.Depth, line.Depth * 1.12).Within(0, 1),
            FlickerIndex = new Estimate(line.Depth / 3, line.Depth * 0.3, line.Depth * 0.36),
            Components = [new ComponentResult(frequency, new Estimate(line.Depth, line.Depth * 0.97, line.Depth * 1.04), open ? "ambiguous" : "resolved")],
        };
    }

    private static TakeResult Take(string fixture, double? dimmer, Line line, int index)
    {
        List<ToneResult> tones = [];
        int overtones = line.Kind switch { Kind.Pulses => 3, Kind.Steady => 0, _ => 1 };
        for (int k = 1; k <= overtones; k++)
        {
            double hertz = line.FrequencyHz * k, amplitude = line.Depth / (k * k);
            tones.Add(new ToneResult
            {
                AliasHz = AliasFrequency.Of(hertz, FrameRate.FromRational(30000, 1001)),
                FrequencyHz = line.Kind == Kind.Open ? null : new Estimate(hertz, hertz - 0.002, hertz + 0.002),
                CandidatesHz = line.Kind == Kind.Open ? [370.03, 400, 429.97] : [hertz],
                Amplitude = new Estimate(amplitude, amplitude * 0.96, amplitude * 1.05),
                BandsPerHeight = hertz * 0.016,
                Group = 0,
                HarmonicNumber = k,
                Parts = [new("noise", amplitude * 0.02), new("compression", amplitude * 0.03)],
            });
        }
        List<ReasonResult> warnings = [];
        if (index == 0) warnings.Add(new("no-reference", "No take with the fixture off was given: other light in the room may dilute the depth; shoot one with it off."));
        if (line.Kind == Kind.Open) warnings.Add(new("short-clip", "The clip is 1.2 s long and can't tell three true frequencies apart: shoot at least 10 s."));
        int width = 640, height = 360;
        RegionResult region = new(160, 36, 320, 288);
        return new TakeResult
        {
            Clip = FormattableString.Invariant($"{fixture.ToLowerInvariant().Replace(' ', '-')}-{(dimmer ?? 1) * 100:0}.mp4"),
            Sha256 = Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(System.Text.Encoding.UTF8.GetBytes(fixture + index))),
            FrameRate = "30000/1001",
            Frames = 150,
            ExposureTime = 1.0 / 250,
            ReadoutTime = line.Kind == Kind.Open ? null : 0.016,
            Region = region,
            Level = line.Kind == Kind.Open ? new LevelFigures(0.86, 1.02, 0.031, 0) : new LevelFigures(0.55, 0.71, 0, 0),
            ModulationDepth = line.Kind == Kind.Steady ? Estimate.AtMost(0.0018) : new Estimate(line.Depth, line.Depth * 0.97, line.Depth * 1.04),
            FlickerIndex = line.Kind == Kind.Steady ? null : new Estimate(line.Depth / 3, line.Depth * 0.3, line.Depth * 0.36),
            DetectionLimit = 0.0012,
            SlowestBeatHz = 0.2,
            Tones = tones,
            Warnings = warnings,
            Waveform = tones.Count == 0 ? [] : Waveform(tones, 128),
            WaveformHalfWidth = tones.Count == 0 ? null : 0.002 + line.Depth * 0.03,
            Facts = new ClipFacts("h264", width, height, "yuv420p", 8, "limited", "bt709", false, null, 0),
            Pictures = new TakePictures(StillOfWall.Value, width, height, Exhibit(tones, line)),
        };
    }

    private static double[] Waveform(IReadOnlyList<ToneResult> tones, int samples) =>
        Enumerable.Range(0, samples).Select(i => 1 + tones.Sum(tone => tone.Amplitude.Value * Math.Cos(2 * Math.PI * tone.HarmonicNumber!.Value * i / samples))).ToArray();

    private static TakeExhibit Exhibit(IReadOnlyList<ToneResult> tones, Line line)
    {
        Random random = new(7);
        const int frames = 150, rows = 144, bins = 420;
        float[,] picture = new float[frames, rows];
        for (int n = 0; n < frames; n++)
        {
            for (int r = 0; r < rows; r++)
            {
                double light = (random.NextDouble() - 0.5) * 0.001;
                foreach (ToneResult tone in tones)
                    light += tone.Amplitude.Value * Math.Cos(2 * Math.PI * (tone.AliasHz!.Value * n * 1001 / 30000 + tone.BandsPerHeight!.Value * 0.8 * r / rows));
                picture[n, r] = (float)light;
            }
        }
        bool hertz = line.Kind != Kind.Open;
        double last = hertz ? 4500 : 72;
        double[] x = Enumerable.Range(0, bins).Select(i => last * i / (bins - 1)).ToArray();
        double[] y = x.Select(f => 0.0003 * (0.5 + random.NextDouble()) + tones.Sum(tone =>
            tone.Amplitude.Value * Math.Exp(-Math.Pow((f - (hertz ? tone.FrequencyHz!.Value.Value : tone.BandsPerHeight!.Value)) / last * 130, 2)))).ToArray();
        return new TakeExhibit(picture, frames * 1001.0 / 30000, x, y, hertz);
    }

    private static byte[] Still(int width, int height)
    {
        using SKBitmap bitmap = new(width, height);
        using SKCanvas canvas = new(bitmap);
        canvas.Clear(new SKColor(28, 28, 32));
        using SKPaint wall = new() { Shader = SKShader.CreateRadialGradient(new SKPoint(320, 150), 300, [new SKColor(215, 210, 200), new SKColor(60, 58, 60)], SKShaderTileMode.Clamp) };
        canvas.DrawRect(90, 20, 460, 320, wall);
        using SKData data = bitmap.Encode(SKEncodedImageFormat.Png, 100);
        return data.ToArray();
    }

    private static RiskGrid Grid(Line line)
    {
        string[] rates = ["23.976", "25", "29.97", "50", "59.94"];
        double[] hertz = [24000 / 1001.0, 25, 30000 / 1001.0, 50, 60000 / 1001.0];
        int[] shutters = [25, 30, 50, 60, 100, 120, 250, 500];
        double?[,] depth = new double?[rates.Length, shutters.Length];
        string?[,] verdicts = new string?[rates.Length, shutters.Length];
        for (int i = 0; i < rates.Length; i++)
        {
            for (int j = 0; j < shutters.Length; j++)
            {
                if (shutters[j] < hertz[i] * 0.99) continue;
                double bound = line.Kind == Kind.Steady ? 0.0016 : line.Depth * Math.Abs(ExposureGain.At(line.FrequencyHz, 1.0 / shutters[j])) + 0.0012;
                depth[i, j] = bound;
                verdicts[i, j] = bound < 0.005 ? "pass" : bound > 0.02 ? "fail" : "watch";
            }
        }
        return new RiskGrid(rates, shutters.Select(s => $"1/{s} s").ToArray(), depth, verdicts);
    }
}
