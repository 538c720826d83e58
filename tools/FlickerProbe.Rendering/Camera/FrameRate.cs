using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace FlickerProbe.Rendering.Camera;

/// <summary>Frames per second as an exact, reduced fraction: 30000/1001 is not 29.97.</summary>
/// <remarks>Written "30000/1001" or "25". The usual short forms 23.976, 29.97, 47.952, 59.94, 119.88 mean n/1001.</remarks>
[JsonConverter(typeof(FrameRateJsonConverter))]
public sealed record FrameRate
{
    /// <summary>A rate of numerator/denominator frames per second.</summary>
    public FrameRate(long numerator, long denominator = 1)
    {
        if (numerator <= 0 || denominator <= 0)
            throw new ArgumentException($"A frame rate must be above zero, not {numerator}/{denominator}.");
        long a = numerator, b = denominator;
        while (b != 0) (a, b) = (b, a % b);
        Numerator = numerator / a;
        Denominator = denominator / a;
    }

    /// <summary>Frames in <see cref="Denominator"/> seconds.</summary>
    public long Numerator { get; }

    /// <summary>Seconds in which <see cref="Numerator"/> frames pass.</summary>
    public long Denominator { get; }

    /// <summary>The rate as the nearest double, 1/s.</summary>
    public double FramesPerSecond => (double)Numerator / Denominator;

    /// <summary>Start of frame <paramref name="frame"/>, s after frame 0; rounded once.</summary>
    public double StartOf(long frame) => (double)(frame * Denominator) / Numerator;

    /// <summary>Reads "30000/1001", "25" or one of the usual short forms.</summary>
    public static FrameRate Parse(string text)
    {
        string t = text.Trim();
        long? thousand = t switch
        {
            "23.976" or "23.98" => 24000,
            "29.97" => 30000,
            "47.952" or "47.95" => 48000,
            "59.94" => 60000,
            "119.88" => 120000,
            _ => null,
        };
        if (thousand is { } n) return new FrameRate(n, 1001);
        string[] parts = t.Split('/');
        if (parts.Length == 2 && long.TryParse(parts[0], NumberStyles.None, CultureInfo.InvariantCulture, out long a)
            && long.TryParse(parts[1], NumberStyles.None, CultureInfo.InvariantCulture, out long b)) return new FrameRate(a, b);
        if (decimal.TryParse(t, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out decimal d) && d > 0 && d < 1_000_000)
        {
            return new FrameRate((long)(d * 1_000_000), 1_000_000);
        }

        throw new FormatException($"'{text}' is not a frame rate. Write 25, 29.97 or 30000/1001.");
    }

    /// <inheritdoc/>
    public override string ToString() => Denominator == 1
        ? Numerator.ToString(CultureInfo.InvariantCulture)
        : string.Create(CultureInfo.InvariantCulture, $"{Numerator}/{Denominator}");
}

internal sealed class FrameRateJsonConverter : JsonConverter<FrameRate>
{
    public override FrameRate Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        FrameRate.Parse(reader.GetString() ?? throw new JsonException("A frame rate is missing."));

    public override void Write(Utf8JsonWriter writer, FrameRate value, JsonSerializerOptions options) =>
        writer.WriteStringValue(value.ToString());
}
