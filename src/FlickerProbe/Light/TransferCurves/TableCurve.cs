using System.Globalization;
using FlickerProbe.Units;

namespace FlickerProbe.Light;

/// <summary>A user's own curve: linear light at evenly spaced signal levels, straight lines between, the end lines carried on outside.</summary>
/// <remarks>
/// Text form: the one-dimensional .cube table in common use (LUT_1D_SIZE, optional TITLE, DOMAIN_MIN, DOMAIN_MAX or LUT_1D_INPUT_RANGE,
/// then one row of three equal numbers per entry; # starts a comment). In: signal level, 0 black … 1 nominal white. Out: linear light.
/// </remarks>
public sealed record TableCurve : TransferFunction
{
    private const int LargestSize = 65536;
    private readonly string _name;
    private readonly double[] _light;
    private readonly double _first;
    private readonly double _last;

    private TableCurve(string name, double[] light, double first, double last)
    {
        _name = name;
        _light = light;
        _first = first;
        _last = last;
    }

    /// <inheritdoc/>
    public override string Name => _name;

    /// <inheritdoc/>
    public override double ToLinear(double level)
    {
        double position = (level - _first) / (_last - _first) * (_light.Length - 1);
        int below = (int)Math.Clamp(Math.Floor(position), 0, _light.Length - 2);
        return _light[below] + (position - below) * (_light[below + 1] - _light[below]);
    }

    /// <summary>Reads a table.</summary>
    /// <param name="text">The whole text of the file.</param>
    /// <param name="source">What to call it in messages and as the curve's name: the file's name.</param>
    /// <exception cref="InputException">The text is no increasing one-dimensional table; the message names the line.</exception>
    public static TableCurve Parse(string text, string source)
    {
        int size = 0;
        double first = 0, last = 1;
        var light = new List<double>();
        int lineNumber = 0;
        foreach (string raw in text.Split('\n'))
        {
            lineNumber++;
            string line = raw.Split('#')[0].Trim().TrimStart('\uFEFF');
            if (line.Length == 0) continue;
            string[] words = line.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries);
            switch (words[0].ToUpperInvariant())
            {
                case "TITLE":
                    break;
                case "LUT_3D_SIZE":
                    throw Problem(source, lineNumber, "is a three-dimensional table; a transfer curve is one-dimensional (LUT_1D_SIZE)");
                case "LUT_1D_SIZE":
                    if (size > 0 || words.Length != 2 || !int.TryParse(words[1], NumberStyles.None, CultureInfo.InvariantCulture, out size) || size is < 2 or > LargestSize)
                        throw Problem(source, lineNumber, $"should say LUT_1D_SIZE once, with a whole number from 2 to {LargestSize}");
                    break;
                case "DOMAIN_MIN":
                    first = OneLevel(words, source, lineNumber);
                    break;
                case "DOMAIN_MAX":
                    last = OneLevel(words, source, lineNumber);
                    break;
                case "LUT_1D_INPUT_RANGE":
                    if (words.Length != 3 || Parsing.Number(words[1]) is not { } from || Parsing.Number(words[2]) is not { } to)
                        throw Problem(source, lineNumber, "should give two numbers after LUT_1D_INPUT_RANGE");
                    (first, last) = (from, to);
                    break;
                default:
                    if (size == 0) throw Problem(source, lineNumber, "comes before LUT_1D_SIZE, which must be there first");
                    if (light.Count == size) throw Problem(source, lineNumber, $"is one entry more than the {size} that LUT_1D_SIZE announces");
                    double entry = OneLevel(["", .. words], source, lineNumber);
                    if (light.Count > 0 && entry < light[^1]) throw Problem(source, lineNumber, "is lower than the entry before; a transfer curve never falls");
                    light.Add(entry);
                    break;
            }
        }

        if (size == 0) throw Problem(source, lineNumber, "ends a file without LUT_1D_SIZE, so this is no one-dimensional .cube table");
        if (light.Count < size) throw Problem(source, lineNumber, $"ends the file after {light.Count} entries; LUT_1D_SIZE announces {size}");
        if (last <= first) throw Problem(source, lineNumber, "ends a file whose largest input is not above its smallest");
        if (light[^1] <= light[0]) throw Problem(source, lineNumber, "ends a table that is flat from end to end");
        return new TableCurve(source, [.. light], first, last);
    }

    /// <summary>The one value that the three columns after the keyword agree on.</summary>
    private static double OneLevel(string[] words, string source, int lineNumber)
    {
        double?[] values = [.. words.Skip(1).Select(Parsing.Number)];
        if (values.Length is not (1 or 3) || values.Any(value => value is null))
            throw Problem(source, lineNumber, "should hold three numbers with decimal points");
        if (values.Any(value => Math.Abs(value!.Value - values[0]!.Value) > 1e-6 * Math.Max(1, Math.Abs(values[0]!.Value))))
            throw Problem(source, lineNumber, "has three different numbers; give the same transfer curve for red, green and blue");
        return values[0]!.Value;
    }

    private static InputException Problem(string source, int lineNumber, string what) =>
        new(string.Create(CultureInfo.InvariantCulture, $"Line {lineNumber} of '{source}' {what}."));
}
