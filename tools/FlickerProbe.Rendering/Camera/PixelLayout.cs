using System.Text.Json.Serialization;

namespace FlickerProbe.Rendering.Camera;

/// <summary>Chroma sampling of the recording.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<ChromaSampling>))]
public enum ChromaSampling
{
    /// <summary>4:2:0.</summary>
    C420,

    /// <summary>4:2:2.</summary>
    C422,

    /// <summary>4:4:4.</summary>
    C444,

    /// <summary>Luma only.</summary>
    Gray,
}

/// <summary>Which weights make luma.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<LumaMatrix>))]
public enum LumaMatrix
{
    /// <summary>ITU-R BT.709.</summary>
    Bt709,

    /// <summary>ITU-R BT.601.</summary>
    Bt601,

    /// <summary>ITU-R BT.2020, non-constant luminance.</summary>
    Bt2020,
}

/// <summary>How samples are stored.</summary>
public sealed record PixelLayout
{
    /// <summary>Bits per sample: 8, 10 or 12.</summary>
    public int Bits { get; init; } = 8;

    /// <summary>Chroma sampling.</summary>
    public ChromaSampling Chroma { get; init; } = ChromaSampling.C420;

    /// <summary>False: limited range, 8-bit black 16 and white 235. True: 0 to the top code.</summary>
    public bool FullRange { get; init; }

    /// <summary>Weights of R, G, B in luma.</summary>
    public LumaMatrix Matrix { get; init; } = LumaMatrix.Bt709;

    /// <summary>Luma code of signal 0 (unrounded scale).</summary>
    public double BlackCode() => FullRange ? 0 : 16 << (Bits - 8);

    /// <summary>Luma codes from signal 0 to signal 1.</summary>
    public double CodeSpan() => FullRange ? (1 << Bits) - 1 : 219 << (Bits - 8);

    /// <summary>Kr and Kb of the matrix; Kg = 1 − Kr − Kb.</summary>
    public (double Kr, double Kb) Weights() => Matrix switch
    {
        LumaMatrix.Bt709 => (0.2126, 0.0722),
        LumaMatrix.Bt601 => (0.299, 0.114),
        _ => (0.2627, 0.0593),
    };
}
