using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Decoding;

/// <summary>One primary of a region while it is sampled.</summary>
/// <param name="Traces">Its linear light.</param>
/// <param name="Level">How it lies on the signal scale.</param>
internal sealed record ChannelTraces(TraceMatrix Traces, LevelHistogram Level)
{
    /// <summary>Change of the primary's signal for one code of what it is worked out from, in luma codes of the same recording: one code of colour difference is nearly two of blue.</summary>
    public double CodesPerStep { get; init; } = 1;

    /// <summary>The records of change of the codes that it is worked out from beside luma.</summary>
    public IReadOnlyList<FrameChange> Differences { get; init; } = [];
}
