using FlickerProbe.Footage;

namespace FlickerProbe.Files.Decoding;

/// <summary>Turns pictures into the row traces of one region, with its level and its frame-to-frame change on the way.</summary>
internal abstract class RegionSampler
{
    private readonly byte[][] _bytesBefore;
    private readonly ushort[][] _wordsBefore;

    protected RegionSampler(RegionPlan plan, bool wide)
    {
        Plan = plan;
        Histogram = new LevelHistogram(plan.Scale);
        Change = new FrameChange(plan.Scale.Depth);
        Traces = new TraceMatrix(plan.Strips, plan.Coded.Height, plan.ExpectedFrames);
        int kept = plan.ExpectedFrames == 1 ? 0 : plan.Coded.Height / plan.StatisticsStep + 1;
        _bytesBefore = wide ? [] : [.. Enumerable.Range(0, kept).Select(_ => new byte[plan.Coded.Width])];
        _wordsBefore = wide ? [.. Enumerable.Range(0, kept).Select(_ => new ushort[plan.Coded.Width])] : [];
    }

    public RegionPlan Plan { get; }
    public LevelHistogram Histogram { get; }
    public FrameChange Change { get; }
    public TraceMatrix Traces { get; }

    /// <summary>Linear red, green and blue traces with their level; empty when not asked for.</summary>
    public virtual IReadOnlyList<(TraceMatrix Traces, LevelHistogram Level)> Channels => [];

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
        if (slot >= _wordsBefore.Length) return;
        if (Frames > 0) Change.AddRow(codes, _wordsBefore[slot]);
        codes.CopyTo(_wordsBefore[slot]);
    }
}
