using FlickerProbe.Footage;

namespace FlickerProbe.Files.Decoding;

/// <summary>Turns pictures into the row traces of one region, with its level and its frame-to-frame change on the way.</summary>
internal abstract class RegionSampler
{
    private const int FramesInGroup = 5, MostGroups = 400;

    private readonly List<LevelHistogram> _groups = [];
    private readonly int _framesInGroup;
    private readonly byte[][] _bytesBefore;
    private readonly ushort[][] _wordsBefore;

    protected RegionSampler(RegionPlan plan, bool wide)
    {
        Plan = plan;
        Histogram = new LevelHistogram(plan.Scale);
        _framesInGroup = Math.Max(FramesInGroup, plan.ExpectedFrames / MostGroups);
        Change = new FrameChange(plan.Scale.Depth);
        Traces = new TraceMatrix(plan.Strips, plan.Coded.Height, plan.ExpectedFrames);
        int kept = plan.ExpectedFrames == 1 ? 0 : plan.Coded.Height / plan.StatisticsStep + 1;
        _bytesBefore = wide ? [] : [.. Enumerable.Range(0, kept).Select(_ => new byte[plan.Coded.Width])];
        _wordsBefore = wide ? [.. Enumerable.Range(0, kept).Select(_ => new ushort[plan.Coded.Width])] : [];
    }

    public RegionPlan Plan { get; }

    /// <summary>Codes of the present group of a few frames.</summary>
    public LevelHistogram Histogram { get; private set; }
    public FrameChange Change { get; }
    public TraceMatrix Traces { get; }

    /// <summary>Linear red, green and blue traces with their level; empty when not asked for.</summary>
    public virtual IReadOnlyList<ChannelTraces> Channels => [];

    /// <summary>Frames finished.</summary>
    public int Frames { get; private set; }

    /// <summary>Takes the rows of the present picture that are new.</summary>
    public void AddRows(RawFrames frames, int first, int count)
    {
        int from = Math.Max(first, Plan.Top), to = Math.Min(first + count, Plan.Top + Plan.Coded.Height);
        for (int pictureRow = from; pictureRow < to; pictureRow++)
        {
            int row = pictureRow - Plan.Top;
            AddRow(frames, pictureRow, row);
        }
    }

    /// <summary>Ends the present picture.</summary>
    public virtual void EndFrame()
    {
        Change.EndFrame();
        Frames++;
        if (Frames % _framesInGroup != 0) return;
        _groups.Add(Histogram);
        Histogram = new LevelHistogram(Plan.Scale);
    }

    /// <summary>How the region lies on the signal scale in part of the frames, to within a group of frames at either end.</summary>
    public SignalLevel LevelOver(int firstFrame, int count)
    {
        int end = firstFrame + count;
        var over = new LevelHistogram(Plan.Scale);
        for (int group = 0; group <= _groups.Count; group++)
        {
            int from = group * _framesInGroup, to = group < _groups.Count ? from + _framesInGroup : Frames;
            bool inside = from >= firstFrame && to <= end;
            // A part that holds no whole group makes do with those that it touches.
            bool touches = count < 2 * _framesInGroup && from < end && to > firstFrame;
            if (inside || touches) over.Add(group < _groups.Count ? _groups[group] : Histogram);
        }
        return over.ToLevel();
    }

    protected abstract void AddRow(RawFrames frames, int pictureRow, int row);

    /// <summary>Compares a row with the frame before and keeps it for the next.</summary>
    protected void AddChange(ReadOnlySpan<byte> codes, int row)
    {
        int slot = row / Plan.StatisticsStep;
        if (slot >= _bytesBefore.Length) return;
        if (Frames > 0) Change.AddRow(codes, _bytesBefore[slot]);
        codes.CopyTo(_bytesBefore[slot]);
    }

    /// <inheritdoc cref="AddChange(ReadOnlySpan{byte}, int)"/>
    protected void AddChange(ReadOnlySpan<ushort> codes, int row)
    {
        int slot = row / Plan.StatisticsStep;
        if (slot < _wordsBefore.Length) AddChange(Change, codes, _wordsBefore[slot]);
    }

    /// <summary>Compares a row with that of the frame before, and keeps it in its place.</summary>
    protected void AddChange(FrameChange change, ReadOnlySpan<ushort> codes, ushort[] before)
    {
        if (Frames > 0) change.AddRow(codes, before);
        codes.CopyTo(before);
    }
}
