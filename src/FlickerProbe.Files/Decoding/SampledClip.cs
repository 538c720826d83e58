using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Files.Decoding;

/// <summary>A clip, sampled.</summary>
/// <param name="Info">What the file says of itself.</param>
/// <param name="Sha256">Hash of the whole file, lower-case hexadecimal.</param>
/// <param name="Regions">One entry per region asked for, same order.</param>
/// <param name="StillPng">A frame from the middle as displayed, at most 960 pixels wide, PNG; null when not asked for or not to be had.</param>
/// <param name="Findings">What is doubtful about the file itself.</param>
public sealed record SampledClip(
    ClipInfo Info, string Sha256, IReadOnlyList<SampledRegion> Regions, byte[]? StillPng, IReadOnlyList<Finding> Findings);

/// <summary>One region of a clip, sampled.</summary>
/// <param name="Region">The region in displayed pixels.</param>
/// <param name="Take">Luma, or for an RGB clip luminance.</param>
/// <param name="Channels">Linear red, green, blue; null unless asked for, or when the clip has no colour.</param>
public sealed record SampledRegion(Region Region, SampledTake Take, IReadOnlyList<SampledTake>? Channels)
{
    /// <summary>Makes the region of part of the frames; the sampler's own statistics are needed for that.</summary>
    internal Func<int, int, SampledRegion>? PartMaker { get; init; }

    /// <summary>The same region over part of the clip's frames, with the level and the noise of that part.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The frames are not inside the clip.</exception>
    public SampledRegion Part(int firstFrame, int frameCount) => PartMaker is null
        ? this with { Take = TakeCut.Cut(Take, firstFrame, frameCount), Channels = Channels?.Select(c => TakeCut.Cut(c, firstFrame, frameCount)).ToList() }
        : PartMaker(firstFrame, frameCount);
}
