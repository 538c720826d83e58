using FlickerProbe.Files.Results;
using FlickerProbe.Light;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Decoding;

/// <summary>Reads a user's own transfer curve from a one-dimensional .cube file.</summary>
public static class CurveFile
{
    private const int LargestFile = 8 << 20; // bytes; 65 536 rows are a quarter of it

    /// <summary>The curve in the file.</summary>
    /// <exception cref="InputException">The file is missing, too large or no such table; the message names the line.</exception>
    public static TransferFunction Read(string path)
    {
        try
        {
            if (!File.Exists(path)) throw new InputException($"The curve file '{path}' is not there: check the name and the folder.");
            string text = BoundedFile.ReadText(path, LargestFile)
                ?? throw new InputException($"The curve file '{path}' is larger than any one-dimensional table: name the right file.");
            return TableCurve.Parse(text, Path.GetFileName(path));
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            throw new InputException($"The curve file '{path}' can't be read: see whether its permissions are in order.", problem);
        }
    }
}
