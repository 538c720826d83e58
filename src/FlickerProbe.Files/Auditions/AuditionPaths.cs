using FlickerProbe.Files.Yaml;
using FlickerProbe.Measurement;

namespace FlickerProbe.Files.Auditions;

/// <summary>Turns the paths of an audition file into full ones and remarks on those that leave its folder.</summary>
internal sealed class AuditionPaths(string folder, List<Finding> remarks)
{
    /// <summary>Code of the remark that the folder is not complete in itself.</summary>
    internal const string OutsideFolder = "outside-folder";

    /// <summary>The full path of a file named in the audition file.</summary>
    /// <exception cref="Units.InputException">The text is no path on this computer.</exception>
    internal string Full(YamlScalar written, string what)
    {
        string text = written.Text;
        if (text.Contains("://", StringComparison.Ordinal))
            throw written.Problem($"'{text}' is an address on a network: copy the file beside the audition file and write its name as '{what}'.");
        if (text.Any(char.IsControl)) throw written.Problem($"The '{what}' holds a control character: write the file's name.");
        if (text.EndsWith('/') || text.EndsWith('\\')) throw written.Problem($"'{text}' is a folder: write the file's name as '{what}'.");

        // Files written on another system may use its separator; no sane clip has a backslash in its name.
        string full = Path.GetFullPath(Path.Combine(folder, text.Replace('\\', '/')));
        string inside = Path.GetFullPath(folder).TrimEnd(Path.DirectorySeparatorChar) + Path.DirectorySeparatorChar;
        if (!full.StartsWith(inside, StringComparison.Ordinal) && !remarks.Any(r => r.Message.Contains($"'{text}'", StringComparison.Ordinal)))
            remarks.Add(new Finding(OutsideFolder, $"'{text}' (line {written.Line}) lies outside the audition's folder: the folder can't be archived by itself until the file is copied into it."));
        return full;
    }
}
