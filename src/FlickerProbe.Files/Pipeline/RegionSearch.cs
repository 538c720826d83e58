using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using FlickerProbe.Light;
using FlickerProbe.Picture;

namespace FlickerProbe.Files.Pipeline;

/// <summary>What a clip's picture holds that can be measured.</summary>
/// <param name="Cells">The picture on a coarse grid.</param>
/// <param name="Areas">The areas found, and why the rest was left out.</param>
public sealed record RegionSearch(PictureCells Cells, FoundAreas Areas)
{
    /// <summary>Looks a clip over.</summary>
    /// <exception cref="ClipException">Nothing could be decoded.</exception>
    /// <exception cref="ProgramMissingException">ffmpeg is missing.</exception>
    /// <exception cref="OperationCanceledException">Cancelled.</exception>
    public static RegionSearch In(ClipInfo info, TransferFunction? transfer, SignalRange? range, CancellationToken cancellation)
    {
        PictureCells cells = PictureScan.Read(info, transfer, range, cancellation);
        return new RegionSearch(cells, AreaFinder.Find(cells, info.Orientation));
    }

    /// <summary>The regions to measure, in displayed pixels, named by where they lie when there are several.</summary>
    /// <param name="info">The clip.</param>
    /// <param name="every">Every area, or the best one alone.</param>
    /// <exception cref="ClipException">There is none; the message says why and what to do.</exception>
    public IReadOnlyList<Region> Regions(ClipInfo info, bool every)
    {
        if (Areas.Main is not { } main) throw new ClipException(WhyNothing(info));
        return every ? [.. Areas.Areas.Select(a => a.Region with { Name = a.Position.Length > 0 ? a.Position : null })] : [main.Region];
    }

    /// <summary>The same with its areas divided into regions that lie in them.</summary>
    /// <param name="info">The clip.</param>
    /// <param name="parts">Regions in displayed pixels, in reading order, named by where they lie.</param>
    public RegionSearch Divided(ClipInfo info, IReadOnlyList<Region> parts) => this with { Areas = Areas with { Areas = [.. parts.Select(p => Part(info, p))] } };

    private FoundArea Part(ClipInfo info, Region part)
    {
        int x = part.X + part.Width / 2, y = part.Y + part.Height / 2;
        FoundArea whole = Areas.Areas.FirstOrDefault(a => x >= a.Region.X && x < a.Region.X + a.Region.Width && y >= a.Region.Y && y < a.Region.Y + a.Region.Height) ?? Areas.Main!;
        if (whole.Region == part with { Name = whole.Region.Name }) return whole with { Position = part.Name ?? "" };
        Region coded = info.Orientation.ToCoded(part, info.Width, info.Height);
        int Column(int pixel) => Math.Clamp((int)Math.Round((double)pixel * Cells.Columns / info.Width), whole.Cells.Left, whole.Cells.Left + whole.Cells.Width);
        int Row(int pixel) => Math.Clamp((int)Math.Round((double)pixel * Cells.Rows / info.Height), whole.Cells.Top, whole.Cells.Top + whole.Cells.Height);
        (int left, int top) = (Column(coded.X), Row(coded.Y));
        var cells = new CellRect(left, top, Column(coded.X + coded.Width) - left, Row(coded.Y + coded.Height) - top);
        if (cells.Area < 1) cells = whole.Cells;
        return new FoundArea(part, cells, AreaFinder.MeanLevel(Cells, cells), part.Name ?? "") { SomethingPasses = whole.SomethingPasses };
    }

    /// <summary>Why nothing can be measured, and what to do: one plain sentence.</summary>
    public string WhyNothing(ClipInfo info)
    {
        if (Areas.BrightestLevel < AreaFinder.DarkestLevel)
            return FormattableString.Invariant($"'{info.FileName}' is too dark to measure anywhere (at most {Math.Max(0, Areas.BrightestLevel) * 100:0} % of the signal scale): open the iris or raise the gain until the lit surface lies at 50 to 80 %, then shoot again.");
        string most = (Areas.Share(CellUse.Clipped), Areas.Share(CellUse.Moving), Areas.Share(CellUse.Small)) switch
        {
            var (clipped, moving, small) when clipped >= moving && clipped >= small && clipped > 0 => "what is lit is clipped",
            var (_, moving, small) when moving >= small && moving > 0 => "something moves through all that is lit",
            _ => "what is lit takes up too few rows",
        };
        return $"'{info.FileName}' has no part that can be measured ({most}): fill the picture with a still, evenly lit surface at 50 to 80 % of the signal scale, or name a part with --region.";
    }
}
