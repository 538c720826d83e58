using FlickerProbe.Units;

namespace FlickerProbe.Light;

/// <summary>How a camera turned light into signal, undone: signal level V (0 black, 1 nominal white) to linear light.</summary>
/// <remarks>
/// Linear light is relative: 1 is the light that the curve puts at nominal white (for PQ: the reference white of 203 cd/m²).
/// Modulation is a ratio, so the unit drops out; the shape of the curve does not. Every curve is increasing and defined for all
/// V, also a little below 0 and above 1, where cameras do put noise and highlights.
/// </remarks>
public abstract record TransferFunction
{
    /// <summary>Recommendation ITU-R BT.709, the same curve as BT.601 and BT.2020.</summary>
    public static TransferFunction Bt709 { get; } = new Bt709Curve();

    /// <summary>IEC 61966-2-1 (sRGB): stills and screens.</summary>
    public static TransferFunction Srgb { get; } = new SrgbCurve();

    /// <summary>Pure power 2.2.</summary>
    public static TransferFunction Gamma22 { get; } = new PowerCurve("gamma2.2", 2.2);

    /// <summary>Pure power 2.4: BT.1886 with a black of zero.</summary>
    public static TransferFunction Gamma24 { get; } = new PowerCurve("gamma2.4", 2.4);

    /// <summary>Pure power 2.8: the old 625-line system.</summary>
    public static TransferFunction Gamma28 { get; } = new PowerCurve("gamma2.8", 2.8);

    /// <summary>Recommendation ITU-R BT.2100, hybrid log-gamma: scene light.</summary>
    public static TransferFunction Hlg { get; } = new HlgCurve();

    /// <summary>Recommendation ITU-R BT.2100 / SMPTE ST 2084, perceptual quantiser: display light.</summary>
    public static TransferFunction Pq { get; } = new PqCurve();

    /// <summary>The signal is the light.</summary>
    public static TransferFunction Linear { get; } = new LinearCurve();

    private static readonly TransferFunction[] Named = [Bt709, Srgb, Gamma22, Gamma24, Gamma28, Hlg, Pq, Linear];

    /// <summary>Short name, as the command line and the result file write it.</summary>
    public abstract string Name { get; }

    /// <summary>Linear light of a signal level.</summary>
    public abstract double ToLinear(double level);

    /// <summary>Reads the name of a built-in curve: bt709 (or bt601, bt2020), srgb, gamma2.2, gamma2.4, gamma2.8, hlg, pq, linear.</summary>
    /// <exception cref="InputException">No built-in curve has this name.</exception>
    public static TransferFunction Parse(string text)
    {
        string name = text.Trim().ToLowerInvariant() switch
        {
            "bt601" or "bt.601" or "bt2020" or "bt.2020" or "bt.709" or "rec709" => "bt709",
            string other => other,
        };
        return Array.Find(Named, curve => curve.Name == name)
            ?? throw new InputException($"'{text}' is not a transfer curve: name one of {string.Join(", ", Named.Select(curve => curve.Name))}, or give a one-dimensional .cube table.");
    }

    /// <summary>Relative change of linear light for a small change of level at this level: what one code step means.</summary>
    /// <param name="level">Signal level, above black.</param>
    /// <param name="levelStep">Size of the step on the signal scale.</param>
    /// <returns>The change as a share of the light at the level; infinite at or below black.</returns>
    public double RelativeStep(double level, double levelStep)
    {
        double light = ToLinear(level);
        return light <= 0 ? double.PositiveInfinity : (ToLinear(level + levelStep / 2) - ToLinear(level - levelStep / 2)) / light;
    }

    /// <summary>The name, so that messages can carry the curve as it is.</summary>
    public sealed override string ToString() => Name;
}
