using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Decoding;

/// <summary>Samples the luma of a region: each code through the curve, then averaged along the row.</summary>
internal class LumaSampler : RegionSampler
{
    private readonly double[] _table;

    public LumaSampler(RegionPlan plan, bool wide) : base(plan, wide) => _table = LightTable.Build(plan.Transfer, plan.Scale);

    protected override void AddRow(RawFrames frames, int pictureRow, int row)
    {
        int[] edges = Plan.StripEdges;
        if (frames.IsWide)
        {
            ReadOnlySpan<ushort> codes = frames.WordRow(0, pictureRow).Slice(Plan.Left, Plan.Coded.Width);
            for (int strip = 0; strip < Plan.Strips; strip++)
            {
                int width = edges[strip + 1] - edges[strip];
                Traces.Set(strip, Frames, row, RowSums.OfWords(codes.Slice(edges[strip], width), _table) / width);
            }
            if (!Plan.IsStatisticsRow(row)) return;
            Histogram.Add(codes);
            AddChange(codes, row);
        }
        else
        {
            ReadOnlySpan<byte> codes = frames.ByteRow(0, pictureRow).Slice(Plan.Left, Plan.Coded.Width);
            for (int strip = 0; strip < Plan.Strips; strip++)
            {
                int width = edges[strip + 1] - edges[strip];
                Traces.Set(strip, Frames, row, RowSums.OfBytes(codes.Slice(edges[strip], width), _table) / width);
            }
            if (!Plan.IsStatisticsRow(row)) return;
            Histogram.Add(codes);
            AddChange(codes, row);
        }
    }
}
