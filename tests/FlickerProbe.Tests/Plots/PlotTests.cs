using System.Xml.Linq;
using FlickerProbe.Files.Plots;
using FlickerProbe.Files.Results;
using FlickerProbe.Measurement;
using FlickerProbe.Tests.Reports;
using FlickerProbe.Units;
using SkiaSharp;
using Xunit;

namespace FlickerProbe.Tests.Plots;

public class PlotTests
{
    private static readonly ResultDocument Sample = SampleDocuments.Audition();

    private static TakeResult PulsedTake => Sample.Fixtures[2].Levels[2].Takes[0];

    private static readonly (string Name, Func<Plot> Draw)[] Everything =
    [
        ("bands", () => BandPlot.Draw(PulsedTake.Pictures!.Exhibit!)),
        ("bands-still", () => BandPlot.Draw(PulsedTake.Pictures!.Exhibit! with { BandPicture = FirstFrame(), BandPictureSeconds = 0 })),
        ("waveform", () => WaveformPlot.Draw(PulsedTake.Waveform, PulsedTake.WaveformHalfWidth, 1 / 1000.3)),
        ("waveform-open", () => WaveformPlot.Draw(PulsedTake.Waveform, null, null)),
        ("spectrum", () => SpectrumPlot.Draw(PulsedTake.Pictures!.Exhibit, Marks, PulsedTake.DetectionLimit, true)),
        ("spectrum-tones-only", () => SpectrumPlot.Draw(null, Marks, PulsedTake.DetectionLimit, true)),
        ("spectrum-nothing", () => SpectrumPlot.Draw(Sample.Fixtures[0].Levels[0].Takes[0].Pictures!.Exhibit, [], 0.0012, true)),
        ("dimming", () => DimmingPlot.Draw("Depth against dimmer level", Lines, 0.005, 0.02)),
        ("comparison", () => ComparisonPlot.Draw(Candidates, ["29.97 fps at 1/60 s", "29.97 fps at 1/100 s"], 0.005, 0.02)),
        ("risk", () => RiskMapPlot.Draw(Sample.Fixtures[1].RiskGrid!)),
        ("scope", () => LevelScopePlot.Draw([("1 wall", new LevelFigures(0.55, 0.71, 0, 0)), ("2 lens face", new LevelFigures(0.93, 1.06, 0.21, 0)), ("3 corner", new LevelFigures(0.04, 0.09, 0, 0.71))])),
    ];

    private static MarkedTone[] Marks =>
        PulsedTake.Tones.Select(tone => new MarkedTone(tone.FrequencyHz!.Value.Value, tone.Amplitude.Value, SpectrumPlot.Hertz(tone.FrequencyHz!.Value.Value))).ToArray();

    private static DimmingLine[] Lines =>
    [
        .. Enumerable.Range(0, 2).Select(f => new DimmingLine(
            f == 0 ? "29.97 fps at 1/60 s" : "29.97 fps at 1/100 s",
            Sample.Fixtures[1].Levels.OrderBy(level => level.Dimmer).Select(level => (level.Dimmer!.Value, level.Formats[f].ModulationDepth)).ToArray())),
        new DimmingLine("the light itself", Sample.Fixtures[1].Levels.OrderBy(level => level.Dimmer).Select(level => (level.Dimmer!.Value, level.Light.ModulationDepth!.Value)).ToArray()),
    ];

    private static Candidate[] Candidates => Sample.Fixtures.Select(fixture => new Candidate(
        fixture.Name, Enumerable.Range(0, 2).Select(f => (Estimate?)fixture.Levels.Select(level => level.Formats[f].ModulationDepth).MaxBy(depth => depth.High)).ToArray())).ToArray();

    public static TheoryData<int> All => new(Enumerable.Range(0, Everything.Length));

    [Theory]
    [MemberData(nameof(All))]
    public void A_plot_comes_as_a_picture_and_as_svg_with_real_text(int which)
    {
        (string name, Func<Plot> draw) = Everything[which];
        byte[] png = draw().ToPng();
        string svg = draw().ToSvg();
        Pictures.Keep(name, png, svg);

        using SKBitmap bitmap = SKBitmap.Decode(png);
        Assert.Equal(2 * draw().Width, bitmap.Width);
        Assert.True(Pictures.DistinctColours(bitmap) > 8, "the picture is nearly empty");

        XElement root = XElement.Parse(svg);
        Assert.Equal("svg", root.Name.LocalName);
        Assert.NotNull(root.Attribute("viewBox"));
        XElement[] texts = root.Descendants().Where(element => element.Name.LocalName == "text").ToArray();
        Assert.NotEmpty(texts);
        Assert.DoesNotContain("Segoe", svg);
        Assert.DoesNotContain("NaN", svg);
        Assert.DoesNotContain("http", svg.Replace("http://www.w3.org/", "", StringComparison.Ordinal), StringComparison.Ordinal);
    }

    [Fact]
    public void The_numbers_of_an_axis_do_not_follow_the_computers_language()
    {
        string invariant = Everything[2].Draw().ToSvg();
        using CultureScope german = new("de-DE");
        Assert.Equal(invariant, Everything[2].Draw().ToSvg());
    }

    [Fact]
    public void The_risk_map_has_a_row_for_every_shutter_and_one_column_for_rates_a_thousandth_apart()
    {
        // The worse of the two counts: 29.97 passes and 30 does not.
        RiskGrid grid = new(["25", "29.97", "30"], ["1/50 s", "1/25 s", "172.8°"],
            new double?[,] { { 0.004, 0.004, 0.002 }, { 0.004, null, 0.002 }, { 0.0412, null, 0.002 } },
            new string?[,] { { "pass", "pass", "pass" }, { "pass", null, "pass" }, { "watch", null, "pass" } });
        string[] texts = XElement.Parse(RiskMapPlot.Draw(grid).ToSvg()).Descendants().Where(e => e.Name.LocalName == "text").Select(e => e.Value).ToArray();
        Assert.Equal(["1/50 s", "1/25 s", "172.8°"], texts.Where(t => t.EndsWith(" s", StringComparison.Ordinal) || t.EndsWith('°')).ToArray());
        // Rounded up, so that rounding never flatters.
        Assert.Single(texts, "?\u20094.2");
        Assert.Equal(2, texts.Count(t => t == "✓\u20090.2"));
        Assert.Equal(2, texts.Count(t => t == "✓\u20090.4"));
    }

    [Fact]
    public void The_region_is_outlined_where_it_lies()
    {
        byte[] png = StillPicture.Draw(PulsedTake.Pictures!.StillPng, 640, 360, [(1, new RegionResult(160, 36, 320, 288)), (2, new RegionResult(10, 10, 60, 60))]);
        Pictures.Keep("still", png, null);
        using SKBitmap bitmap = SKBitmap.Decode(png);
        Assert.Equal(960, bitmap.Width);
        Assert.Equal(540, bitmap.Height);
        // Half-way down the region's left edge, at 160 × 1.5 pixels: white line on black.
        SKColor edge = bitmap.GetPixel(240, 270), outside = bitmap.GetPixel(232, 270);
        Assert.True(edge.Red > 230, $"edge {edge}");
        Assert.True(outside.Red < 200, $"outside {outside}");
    }

    [Theory]
    [InlineData(0.0011, 0.002)]
    [InlineData(0.002, 0.002)]
    [InlineData(0.049, 0.05)]
    [InlineData(0.51, 1)]
    public void The_grey_scale_ends_at_a_round_number(double largest, double expected)
    {
        float[,] picture = new float[10, 10];
        for (int i = 0; i < 10; i++)
        {
            for (int j = 0; j < 10; j++) picture[i, j] = (float)((i + j) % 2 == 0 ? largest : -largest);
        }
        Assert.Equal(expected, BandPlot.Reach(picture), 6);
    }

    private static float[,] FirstFrame()
    {
        float[,] all = PulsedTake.Pictures!.Exhibit!.BandPicture, one = new float[1, all.GetLength(1)];
        for (int r = 0; r < one.GetLength(1); r++) one[0, r] = all[0, r];
        return one;
    }
}
