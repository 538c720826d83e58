using FlickerProbe.Files.Reports;
using FlickerProbe.Files.Results;
using FlickerProbe.Planning;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Auditions;

/// <summary>Writes a plan to disk: the starter audition file, its schema for editors, and the shot list as page and print.</summary>
public static class PlanWriter
{
    /// <summary>The files that a plan in this audition file makes, in the order of the result.</summary>
    public static IReadOnlyList<string> Files(string auditionFile)
    {
        string folder = Path.GetDirectoryName(Path.GetFullPath(auditionFile))!;
        return [Path.GetFullPath(auditionFile), Path.Combine(folder, AuditionWriter.SchemaFile), Path.Combine(folder, "shot-list.html"), Path.Combine(folder, "shot-list.pdf")];
    }

    /// <summary>Writes the files.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="auditionFile">Where the audition file goes; the others go beside it.</param>
    /// <param name="paper">Paper of the shot list.</param>
    /// <param name="overwrite">Whether an audition file that is there may be replaced.</param>
    /// <param name="created">When it was made; null to leave it out.</param>
    /// <param name="cancellation">Ends the work and throws; files already written are whole.</param>
    /// <exception cref="InputException">The audition file is there already, or a file can't be written.</exception>
    public static void Write(ShotPlan plan, string auditionFile, Paper paper, bool overwrite, DateTimeOffset? created, CancellationToken cancellation)
    {
        IReadOnlyList<string> files = Files(auditionFile);
        if (!overwrite && File.Exists(files[0]))
            throw new InputException($"'{auditionFile}' is there already and may hold an evening's work: give another name with --out, or allow it to be replaced with --overwrite.");
        AtomicFile.Write(files[0], AuditionWriter.Starter(plan));
        AtomicFile.Write(files[1], PublishedSchemas.Audition);
        IReadOnlyList<Block> blocks = ShotList.Build(plan);
        AtomicFile.Write(files[2], HtmlReport.Write(ShotList.Title(plan), blocks));
        AtomicFile.Write(files[3], PdfReport.Write(ShotList.Title(plan), blocks, paper, created, cancellation));
    }
}
