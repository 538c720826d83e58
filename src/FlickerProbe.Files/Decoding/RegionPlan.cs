using FlickerProbe.Footage;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Decoding;

/// <summary>How one region is sampled: where it lies in what is read, its strips, and which rows also serve the statistics.</summary>
internal sealed class RegionPlan
{
    private const int NarrowestStrip = 8; // pixels
    private const int StatisticsRows = 64;

    public RegionPlan(Region region, CodedRect coded, CodedRect crop, int strips, TransferFunction transfer, SignalScale scale, LuminanceWeights primaries, int expectedFrames)
    {
        Region = region;
        Coded = coded;
        Left = coded.X - crop.X;
        Top = coded.Y - crop.Y;
        Transfer = transfer;
        Scale = scale;
        Primaries = primaries;
        int count = Math.Clamp(coded.Width / NarrowestStrip, 1, strips);
        StripEdges = [.. Enumerable.Range(0, count + 1).Select(n => (int)((long)coded.Width * n / count))];
        ExpectedFrames = expectedFrames;
        // A picture alone is counted whole; in a clip some rows of every frame say enough and cost little.
        StatisticsStep = expectedFrames == 1 ? 1 : Math.Max(1, coded.Height / StatisticsRows);
    }

    public Region Region { get; }
    public CodedRect Coded { get; }

    /// <summary>First column and row of the region in the pictures that are read.</summary>
    public int Left { get; }
    public int Top { get; }
    public TransferFunction Transfer { get; }
    public SignalScale Scale { get; }
    public LuminanceWeights Primaries { get; }

    /// <summary>Columns of the region at which strips begin, and the end of the last.</summary>
    public int[] StripEdges { get; }
    public int Strips => StripEdges.Length - 1;
    public int ExpectedFrames { get; }
    public int StatisticsStep { get; }

    /// <summary>Whether a row of the region also serves the statistics; the middle of each step, not its edge.</summary>
    public bool IsStatisticsRow(int row) => row % StatisticsStep == StatisticsStep / 2;
}
