using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using FlickerProbe.Camera;

namespace FlickerProbe.Files.Auditions;

/// <summary>Writes values so that YAML reads them back as they were.</summary>
internal static partial class YamlText
{
    /// <summary>Text as a YAML scalar: plain where that is safe, else in double quotes.</summary>
    internal static string Quote(string text)
    {
        if (SafePlain().IsMatch(text) && !text.EndsWith(' ') && !Reserved.Contains(text.ToLowerInvariant())) return text;
        var quoted = new StringBuilder("\"");
        foreach (char c in text)
        {
            quoted.Append(c switch
            {
                '"' => "\\\"",
                '\\' => "\\\\",
                '\n' => "\\n",
                '\t' => "\\t",
                _ when char.IsControl(c) => string.Create(CultureInfo.InvariantCulture, $"\\u{(int)c:x4}"),
                _ => c.ToString(),
            });
        }
        return quoted.Append('"').ToString();
    }

    /// <summary>An exposure: <c>1/50</c> where that is what it is, else seconds.</summary>
    internal static string Seconds(double seconds)
    {
        double reciprocal = 1 / seconds, whole = Math.Round(reciprocal);
        return whole >= 1 && Math.Abs(1 / whole - seconds) < 1e-12
            ? string.Create(CultureInfo.InvariantCulture, $"1/{whole:0}")
            : string.Create(CultureInfo.InvariantCulture, $"{seconds:R}s");
    }

    /// <summary>A frame rate: the short form of the trade where there is one.</summary>
    internal static string Rate(FrameRate rate) => FrameRate.TryParse(rate.ToShortText(), out FrameRate? back) && back == rate ? rate.ToShortText() : rate.ToString();

    /// <summary>A readout time with its tolerance when that is not the usual one.</summary>
    internal static string Readout(ReadoutTime readout)
    {
        if (readout.IsGlobal) return "global";
        string time = string.Create(CultureInfo.InvariantCulture, $"{Math.Round(readout.Seconds * 1000, 9):R}ms");
        if (readout.RelativeDeviation == ReadoutTime.DefaultRelativeDeviation) return time;
        double tolerance = readout.RelativeDeviation * Math.Abs(readout.Seconds) * Units.Estimate.Coverage95 * 1000;
        return string.Create(CultureInfo.InvariantCulture, $"{time}+-{tolerance:0.######}ms");
    }

    private static readonly string[] Reserved = ["", "null", "true", "false", "yes", "no", "on", "off", "~"];

    [GeneratedRegex(@"^\p{L}[\p{L}\p{N} _.()/+-]*$")]
    private static partial Regex SafePlain();
}
