using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Decoding;

/// <summary>Samples a region of an RGB clip: each channel through the curve, then luminance by the primaries' shares; the channels themselves on request.</summary>
internal sealed class RgbSampler : RegionSampler
{
    private readonly RowSums _sums;
    private readonly double[] _shares;
    private readonly bool _keepChannels;
    private readonly ChannelTraces[] _channels;

    public RgbSampler(RegionPlan plan, bool wide, bool keepChannels) : base(plan, wide)
    {
        _sums = new RowSums(LightTable.Build(plan.Transfer, plan.Scale));
        _shares = [plan.Primaries.Red, plan.Primaries.Green, plan.Primaries.Blue];
        _keepChannels = keepChannels;
        _channels = keepChannels
            ? [.. _shares.Select(_ => new ChannelTraces(new TraceMatrix(plan.Strips, plan.Coded.Height, plan.ExpectedFrames), new LevelHistogram(plan.Scale)))]
            : [];
    }

    public override IReadOnlyList<ChannelTraces> Channels => _channels;

    protected override void AddRow(RawFrames frames, int pictureRow, int row)
    {
        int[] edges = Plan.StripEdges;
        for (int strip = 0; strip < Plan.Strips; strip++)
        {
            int width = edges[strip + 1] - edges[strip];
            double luminance = 0;
            for (int channel = 0; channel < 3; channel++)
            {
                double sum = frames.IsWide
                    ? _sums.Of(frames.WordRow(channel, pictureRow).Slice(Plan.Left + edges[strip], width))
                    : _sums.Of(frames.ByteRow(channel, pictureRow).Slice(Plan.Left + edges[strip], width));
                luminance += _shares[channel] * sum / width;
                if (_keepChannels) _channels[channel].Traces.Set(strip, Frames, row, sum / width);
            }
            Traces.Set(strip, Frames, row, luminance);
        }
        if (Plan.IsStatisticsRow(row)) AddStatistics(frames, pictureRow, row);
    }

    private void AddStatistics(RawFrames frames, int pictureRow, int row)
    {
        int width = Plan.Coded.Width;
        if (frames.IsWide)
        {
            ReadOnlySpan<ushort> red = frames.WordRow(0, pictureRow).Slice(Plan.Left, width);
            ReadOnlySpan<ushort> green = frames.WordRow(1, pictureRow).Slice(Plan.Left, width);
            ReadOnlySpan<ushort> blue = frames.WordRow(2, pictureRow).Slice(Plan.Left, width);
            for (int x = 0; x < width; x++) AddPixel(red[x], green[x], blue[x]);
            AddChange(green, row);
            if (!_keepChannels) return;
            _channels[0].Level.Add(red);
            _channels[1].Level.Add(green);
            _channels[2].Level.Add(blue);
        }
        else
        {
            ReadOnlySpan<byte> red = frames.ByteRow(0, pictureRow).Slice(Plan.Left, width);
            ReadOnlySpan<byte> green = frames.ByteRow(1, pictureRow).Slice(Plan.Left, width);
            ReadOnlySpan<byte> blue = frames.ByteRow(2, pictureRow).Slice(Plan.Left, width);
            for (int x = 0; x < width; x++) AddPixel(red[x], green[x], blue[x]);
            AddChange(green, row);
            if (!_keepChannels) return;
            _channels[0].Level.Add(red);
            _channels[1].Level.Add(green);
            _channels[2].Level.Add(blue);
        }
    }

    /// <summary>One clipped channel bends the light of the pixel as much as three.</summary>
    private void AddPixel(int red, int green, int blue)
    {
        double level = Plan.Scale.LevelOf(_shares[0] * red + _shares[1] * green + _shares[2] * blue);
        Histogram.AddLevel(level, Plan.Scale.LevelOf(Math.Max(red, Math.Max(green, blue))) >= Histogram.CeilingLevel);
    }
}
