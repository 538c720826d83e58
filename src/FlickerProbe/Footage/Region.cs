using System.Globalization;
using FlickerProbe.Units;

namespace FlickerProbe.Footage;

/// <summary>A rectangle of the picture as it is displayed, in whole pixels from its top left corner.</summary>
/// <param name="X">Left edge, pixels.</param>
/// <param name="Y">Top edge, pixels.</param>
/// <param name="Width">Width, pixels, positive.</param>
/// <param name="Height">Height, pixels, positive.</param>
/// <param name="Name">What the user calls what is lit there; null when unnamed.</param>
public sealed record Region(int X, int Y, int Width, int Height, string? Name = null)
{
    /// <summary>Reads <c>X,Y,W,H</c> or <c>NAME=X,Y,W,H</c>.</summary>
    /// <exception cref="InputException">The text is no rectangle.</exception>
    public static Region Parse(string text)
    {
        int equals = text.LastIndexOf('=');
        string? name = equals > 0 ? text[..equals].Trim() : null;
        string[] parts = text[(equals + 1)..].Split(',');
        int[] numbers = new int[4];
        bool readable = parts.Length == 4;
        for (int i = 0; readable && i < 4; i++)
            readable = int.TryParse(parts[i], NumberStyles.Integer, CultureInfo.InvariantCulture, out numbers[i]);
        if (!readable || numbers[0] < 0 || numbers[1] < 0 || numbers[2] <= 0 || numbers[3] <= 0)
            throw new InputException($"'{text}' is not a region: write left, top, width, height in pixels such as 160,36,320,288 or wall=160,36,320,288.");
        return new Region(numbers[0], numbers[1], numbers[2], numbers[3], name);
    }
}
