using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Decoding;

/// <summary>Samples the luma of a region: each code through the curve, then averaged along the row.</summary>
internal class LumaSampler : RegionSampler
{
    private readonly RowSums _sums;

    public LumaSampler(RegionPlan plan, bool wide) : base(plan, wide) => _sums = new RowSums(LightTable.Build(plan.Transfer, plan.Scale));

    protected override void AddRow(RawFrames frames, int pictureRow, int row)
    {
        int[] edges = Plan.StripEdges;
        if (frames.IsWide)
        {
            ReadOnlySpan<ushort> codes = frames.WordRow(0, pictureRow).Slice(Plan.Left, Plan.Coded.Width);
            for (int strip = 0; strip < Plan.Strips; strip++)
            {
                int width = edges[strip + 1] - edges[strip];
                Traces.Set(strip, Frames, row, _sums.Of(codes.Slice(edges[strip], width)) / width);
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
                Traces.Set(strip, Frames, row, _sums.Of(codes.Slice(edges[strip], width)) / width);
            }
            if (!Plan.IsStatisticsRow(row)) return;
            Histogram.Add(codes);
            AddChange(codes, row);
        }
    }
}
