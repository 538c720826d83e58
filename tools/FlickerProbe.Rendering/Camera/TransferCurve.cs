using System.Globalization;
using System.Text;
using System.Text.Json.Serialization;
using static System.Math;

namespace FlickerProbe.Rendering.Camera;

/// <summary>The camera curves the renderer knows.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<CurveKind>))]
public enum CurveKind
{
    /// <summary>ITU-R BT.709-6 (and BT.601) opto-electronic curve.</summary>
    Bt709,

    /// <summary>IEC 61966-2-1.</summary>
    Srgb,

    /// <summary>Pure power, signal = light^(1/2.2).</summary>
    Gamma22,

    /// <summary>Pure power, signal = light^(1/2.4).</summary>
    Gamma24,

    /// <summary>ITU-R BT.2100 hybrid log-gamma, scene light 0…1.</summary>
    Hlg,

    /// <summary>SMPTE ST 2084, light 1 = 10 000 cd/m².</summary>
    Pq,

    /// <summary>Signal = light.</summary>
    Linear,

    /// <summary>A table of points, such as a log recording.</summary>
    Table,
}

/// <summary>Linear light (0…1 at nominal white) to signal (0 black … 1 nominal white), and back.</summary>
/// <remarks>
/// Written from the documents named at each kind; shares no code with the estimator, so that a slip in one shows
/// against the other. A negative light is given the odd mirror of the curve's foot where that is linear, else 0.
/// </remarks>
public sealed record TransferCurve
{
    /// <summary>Which curve.</summary>
    public required CurveKind Kind { get; init; }

    /// <summary>For <see cref="CurveKind.Table"/>: (light, signal) points, both rising; straight lines between.</summary>
    public IReadOnlyList<CurvePoint> Points { get; init; } = [];

    /// <summary>ITU-R BT.709.</summary>
    public static TransferCurve Bt709 { get; } = new() { Kind = CurveKind.Bt709 };

    /// <summary>A made-up logarithmic recording curve as a table: black at 0.09, light 0.18 at 0.42, light 1 at 0.68, light 8 at the top.</summary>
    public static TransferCurve InventedLog(int points = 1024)
    {
        // signal = 0.09 + 0.91 · ln(1 + kL) / ln(1 + 8k): three stops above nominal white, linear near black.
        const double K = 40, Black = 0.09, Top = 8;
        List<CurvePoint> table = [];
        for (int i = 0; i < points; i++)
        {
            double share = (double)i / (points - 1);
            table.Add(new CurvePoint((Exp(share * Log(1 + K * Top)) - 1) / K, Black + (1 - Black) * share));
        }

        return new TransferCurve { Kind = CurveKind.Table, Points = table };
    }

    /// <summary>Signal for a linear light.</summary>
    public double Encode(double light)
    {
        switch (Kind)
        {
            case CurveKind.Bt709:
                return light < 0.018 ? 4.5 * light : 1.099 * Pow(light, 0.45) - 0.099;
            case CurveKind.Srgb:
                return light <= 0.0031308 ? 12.92 * light : 1.055 * Pow(light, 1 / 2.4) - 0.055;
            case CurveKind.Gamma22:
                return light <= 0 ? 0 : Pow(light, 1 / 2.2);
            case CurveKind.Gamma24:
                return light <= 0 ? 0 : Pow(light, 1 / 2.4);
            case CurveKind.Hlg:
                if (light <= 0) return 0;
                return light <= 1.0 / 12 ? Sqrt(3 * light) : HlgA * Log(12 * light - HlgB) + HlgC;
            case CurveKind.Pq:
                double p = Pow(Max(light, 0), 2610.0 / 16384);
                return Pow((3424.0 / 4096 + 2413.0 / 128 * p) / (1 + 2392.0 / 128 * p), 2523.0 / 32);
            case CurveKind.Linear:
                return light;
            case CurveKind.Table:
                return Interpolate(light, static q => q.Light, static q => q.Signal);
            default:
                throw new InvalidOperationException($"No formula for the curve {Kind}.");
        }
    }

    /// <summary>Linear light for a signal.</summary>
    public double Decode(double signal)
    {
        switch (Kind)
        {
            case CurveKind.Bt709:
                return signal < 0.081 ? signal / 4.5 : Pow((signal + 0.099) / 1.099, 1 / 0.45);
            case CurveKind.Srgb:
                return signal <= 0.04045 ? signal / 12.92 : Pow((signal + 0.055) / 1.055, 2.4);
            case CurveKind.Gamma22:
                return signal <= 0 ? 0 : Pow(signal, 2.2);
            case CurveKind.Gamma24:
                return signal <= 0 ? 0 : Pow(signal, 2.4);
            case CurveKind.Hlg:
                if (signal <= 0) return 0;
                return signal <= 0.5 ? signal * signal / 3 : (Exp((signal - HlgC) / HlgA) + HlgB) / 12;
            case CurveKind.Pq:
                double v = Pow(Max(signal, 0), 32 / 2523.0);
                return Pow(Max(v - 3424.0 / 4096, 0) / (2413.0 / 128 - 2392.0 / 128 * v), 16384 / 2610.0);
            case CurveKind.Linear:
                return signal;
            case CurveKind.Table:
                return Interpolate(signal, static q => q.Signal, static q => q.Light);
            default:
                throw new InvalidOperationException($"No formula for the curve {Kind}.");
        }
    }

    /// <summary>Writes signal → linear light as a one-dimensional .cube table of <paramref name="size"/> rows.</summary>
    public void WriteCube(string path, int size = 1024)
    {
        StringBuilder text = new();
        text.AppendLine("TITLE \"signal to linear light\"");
        text.AppendLine(CultureInfo.InvariantCulture, $"LUT_1D_SIZE {size}");
        text.AppendLine("DOMAIN_MIN 0.0 0.0 0.0");
        text.AppendLine("DOMAIN_MAX 1.0 1.0 1.0");
        for (int i = 0; i < size; i++)
        {
            string light = Decode((double)i / (size - 1)).ToString("0.0000000000", CultureInfo.InvariantCulture);
            text.AppendLine(CultureInfo.InvariantCulture, $"{light} {light} {light}");
        }

        File.WriteAllText(path, text.ToString());
    }

    // ITU-R BT.2100-2, table 5.
    private const double HlgA = 0.17883277;
    private const double HlgB = 1 - 4 * HlgA;
    private static readonly double HlgC = 0.5 - HlgA * Log(4 * HlgA);

    private double Interpolate(double at, Func<CurvePoint, double> from, Func<CurvePoint, double> to)
    {
        int low = 0, high = Points.Count - 1;
        if (high < 1) throw new InvalidOperationException("A table curve needs at least two points.");
        if (at <= from(Points[low])) return to(Points[low]);
        if (at >= from(Points[high])) return to(Points[high]);
        while (high - low > 1)
        {
            int mid = (low + high) / 2;
            if (from(Points[mid]) <= at) low = mid;
            else high = mid;
        }

        double share = (at - from(Points[low])) / (from(Points[high]) - from(Points[low]));
        return to(Points[low]) + share * (to(Points[high]) - to(Points[low]));
    }
}

/// <summary>A point of a table curve.</summary>
/// <param name="Light">Linear light.</param>
/// <param name="Signal">Signal, 0…1.</param>
public sealed record CurvePoint(double Light, double Signal);
