using System.Globalization;
using System.Text.RegularExpressions;

namespace FlickerProbe.Files.Decoding;

/// <summary>What the channels of a pixel format mean.</summary>
public enum ColourModel
{
    /// <summary>Luma alone.</summary>
    Grey,
    /// <summary>Luma, blue difference, red difference.</summary>
    LumaAndDifference,
    /// <summary>Red, green, blue.</summary>
    RedGreenBlue,
}

/// <summary>Where one channel lies: plane, then samples from the start of a row and from one pixel to the next, then bits to drop from the low end.</summary>
public readonly record struct ChannelPlace(int Plane, int Offset, int Stride, int Shift = 0);

/// <summary>How a pixel format of ffmpeg lies in memory, for every format that is accepted; everything else is refused by name.</summary>
/// <remarks>Layouts as documented in libavutil/pixdesc.c and pixfmt.h of ffmpeg; each is checked numerically in the tests.</remarks>
public sealed partial record PixelLayout
{
    /// <summary>ffmpeg's name.</summary>
    public required string Name { get; init; }

    /// <summary>What the channels mean.</summary>
    public required ColourModel Model { get; init; }

    /// <summary>Bits of a code that carry picture.</summary>
    public required int Depth { get; init; }

    /// <summary>Bytes of a stored sample: 1 or 2.</summary>
    public int SampleBytes { get; init; } = 1;

    /// <summary>Whether two-byte samples have the high byte first.</summary>
    public bool BigEndian { get; init; }

    /// <summary>Colour difference has one column per 2^n of luma.</summary>
    public int DifferenceColumnShift { get; init; }

    /// <summary>Colour difference has one row per 2^n of luma.</summary>
    public int DifferenceRowShift { get; init; }

    /// <summary>Y; or Y, Cb, Cr; or R, G, B.</summary>
    public required IReadOnlyList<ChannelPlace> Channels { get; init; }

    /// <summary>Samples a pixel takes in plane 0, 1, … along a row of that plane.</summary>
    public required IReadOnlyList<int> PlaneSamplesPerPixel { get; init; }

    /// <summary>The format asked of ffmpeg: the same one, but for palettes, which are looked up on the way out.</summary>
    public string RawName => Name == "pal8" ? "bgra" : Name;

    /// <summary>Whether ffmpeg hands out the luma plane by itself, unaltered: only where all planes are apart, low byte first.</summary>
    public bool LumaPlaneCanBeExtracted => Model == ColourModel.LumaAndDifference && PlaneSamplesPerPixel.Count >= 3 && !BigEndian;

    /// <summary>The format of the extracted luma plane.</summary>
    public string LumaName => Depth == 8 ? "gray" : string.Create(CultureInfo.InvariantCulture, $"gray{Depth}le");

    /// <summary>Whether codes fill the scale unless the clip says otherwise: RGB and the yuvj formats do.</summary>
    public bool FullRangeByNature => Model == ColourModel.RedGreenBlue || Name.StartsWith("yuvj", StringComparison.Ordinal) || Name is "ya8" or "ya16le" or "ya16be";

    /// <summary>The layout of a format; null when it is not one that can be read unaltered.</summary>
    public static PixelLayout? Find(string name)
    {
        if (PlanarYuv().Match(name) is { Success: true } yuv) return Planar(name, yuv);
        if (PlanarRgb().Match(name) is { Success: true } rgb) return Planar(name, rgb);
        if (Grey().Match(name) is { Success: true } grey)
            return new() { Name = name, Model = ColourModel.Grey, Depth = DepthOf(grey), SampleBytes = BytesOf(grey), BigEndian = IsBig(grey), Channels = [new(0, 0, 1)], PlaneSamplesPerPixel = [1] };
        if (SemiPlanar().Match(name) is { Success: true } semi) return HighBits(name, semi);
        bool big = name.EndsWith("be", StringComparison.Ordinal);
        return name switch
        {
            "nv12" => TwoPlanes(name, 1, 1, false),
            "nv21" => TwoPlanes(name, 1, 1, true),
            "nv16" => TwoPlanes(name, 1, 0, false),
            "nv24" => TwoPlanes(name, 0, 0, false),
            "nv42" => TwoPlanes(name, 0, 0, true),
            "yuyv422" => Packed422(name, 0, 1, 3),
            "uyvy422" => Packed422(name, 1, 0, 2),
            "yvyu422" => Packed422(name, 0, 3, 1),
            "ya8" => new() { Name = name, Model = ColourModel.Grey, Depth = 8, Channels = [new(0, 0, 2)], PlaneSamplesPerPixel = [2] },
            "ya16le" or "ya16be" => new() { Name = name, Model = ColourModel.Grey, Depth = 16, SampleBytes = 2, BigEndian = big, Channels = [new(0, 0, 2)], PlaneSamplesPerPixel = [2] },
            "rgb24" => PackedRgb(name, 8, 3, 0, 1, 2),
            "bgr24" => PackedRgb(name, 8, 3, 2, 1, 0),
            "rgba" or "rgb0" => PackedRgb(name, 8, 4, 0, 1, 2),
            "bgra" or "bgr0" or "pal8" => PackedRgb(name, 8, 4, 2, 1, 0),
            "argb" or "0rgb" => PackedRgb(name, 8, 4, 1, 2, 3),
            "abgr" or "0bgr" => PackedRgb(name, 8, 4, 3, 2, 1),
            "rgb48le" or "rgb48be" => PackedRgb(name, 16, 3, 0, 1, 2),
            "bgr48le" or "bgr48be" => PackedRgb(name, 16, 3, 2, 1, 0),
            "rgba64le" or "rgba64be" => PackedRgb(name, 16, 4, 0, 1, 2),
            "bgra64le" or "bgra64be" => PackedRgb(name, 16, 4, 2, 1, 0),
            _ => null,
        };
    }

    private static PixelLayout Planar(string name, Match match)
    {
        bool rgb = name.StartsWith("gb", StringComparison.Ordinal);
        (int columns, int rows) = match.Groups["sub"].Value switch
        {
            "420" => (1, 1), "422" => (1, 0), "440" => (0, 1), "411" => (2, 0), "410" => (2, 2), _ => (0, 0),
        };
        int planes = match.Groups["alpha"].Success ? 4 : 3;
        return new()
        {
            Name = name,
            Model = rgb ? ColourModel.RedGreenBlue : ColourModel.LumaAndDifference,
            Depth = DepthOf(match),
            SampleBytes = BytesOf(match),
            BigEndian = IsBig(match),
            DifferenceColumnShift = columns,
            DifferenceRowShift = rows,
            Channels = rgb ? [new(2, 0, 1), new(0, 0, 1), new(1, 0, 1)] : [new(0, 0, 1), new(1, 0, 1), new(2, 0, 1)],
            PlaneSamplesPerPixel = [.. Enumerable.Repeat(1, planes)],
        };
    }

    private static PixelLayout TwoPlanes(string name, int columns, int rows, bool redFirst) => new()
    {
        Name = name,
        Model = ColourModel.LumaAndDifference,
        Depth = 8,
        DifferenceColumnShift = columns,
        DifferenceRowShift = rows,
        Channels = [new(0, 0, 1), new(1, redFirst ? 1 : 0, 2), new(1, redFirst ? 0 : 1, 2)],
        PlaneSamplesPerPixel = [1, 2],
    };

    /// <summary>p010 and its kin: the code sits in the high bits of 16.</summary>
    private static PixelLayout HighBits(string name, Match match)
    {
        (int columns, int rows) = match.Groups["sub"].Value switch { "0" => (1, 1), "2" => (1, 0), _ => (0, 0) };
        int depth = match.Groups["depth"].Value == "10" ? 10 : match.Groups["depth"].Value == "12" ? 12 : 16;
        return new()
        {
            Name = name,
            Model = ColourModel.LumaAndDifference,
            Depth = depth,
            SampleBytes = 2,
            BigEndian = IsBig(match),
            DifferenceColumnShift = columns,
            DifferenceRowShift = rows,
            Channels = [new(0, 0, 1, 16 - depth), new(1, 0, 2, 16 - depth), new(1, 1, 2, 16 - depth)],
            PlaneSamplesPerPixel = [1, 2],
        };
    }

    private static PixelLayout Packed422(string name, int luma, int blue, int red) => new()
    {
        Name = name,
        Model = ColourModel.LumaAndDifference,
        Depth = 8,
        DifferenceColumnShift = 1,
        Channels = [new(0, luma, 2), new(0, blue, 4), new(0, red, 4)],
        PlaneSamplesPerPixel = [2],
    };

    private static PixelLayout PackedRgb(string name, int depth, int stride, int red, int green, int blue) => new()
    {
        Name = name,
        Model = ColourModel.RedGreenBlue,
        Depth = depth,
        SampleBytes = depth > 8 ? 2 : 1,
        BigEndian = name.EndsWith("be", StringComparison.Ordinal),
        Channels = [new(0, red, stride), new(0, green, stride), new(0, blue, stride)],
        PlaneSamplesPerPixel = [stride],
    };

    private static int DepthOf(Match match) =>
        match.Groups["depth"] is { Success: true } depth ? int.Parse(depth.Value, CultureInfo.InvariantCulture) : 8;

    private static int BytesOf(Match match) => DepthOf(match) > 8 ? 2 : 1;

    private static bool IsBig(Match match) => match.Groups["order"].Value == "be";

    [GeneratedRegex("^yuv(j|(?<alpha>a))?(?<sub>420|422|444|440|411|410)p((?<depth>9|10|12|14|16)(?<order>le|be))?$")]
    private static partial Regex PlanarYuv();

    [GeneratedRegex("^gbr(?<alpha>a)?p((?<depth>9|10|12|14|16)(?<order>le|be))?$")]
    private static partial Regex PlanarRgb();

    [GeneratedRegex("^gray((?<depth>9|10|12|14|16)(?<order>le|be))?$")]
    private static partial Regex Grey();

    [GeneratedRegex("^p(?<sub>0|2|4)(?<depth>10|12|16)(?<order>le|be)$")]
    private static partial Regex SemiPlanar();
}
