using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>What an encoder makes of a strong tone at that tone's own alias: no light of its own.</summary>
/// <remarks>The project's own, from rendered clips; no published source.</remarks>
internal static class EncoderEcho
{
    /// <summary>Rows of the blocks that encoders transform; finer ones divide them.</summary>
    private const double BlockRows = 8;

    /// <summary>A mirror image lies this near to its place, cells of the plane along the bands.</summary>
    private const double MirrorCells = 0.6;

    /// <summary>What is left beside a strong tone lies this near to it, cells of the plane along the aliases, and is weaker than this share of it.</summary>
    private const double SmearCells = 2, SmearShare = 0.5;

    /// <summary>The bend that encoders give the bands of a strong tone: it has the tone's own alias and another band frequency.</summary>
    public static bool IsBend(PlaneTone tone, PlaneTone[] known, LightMatrix matrix, CompressionLoss loss) =>
        loss.RelativeLoss > 0 && Array.Exists(known, k => k.Amplitude > (loss.IsLossy ? 10 : 20) * tone.Amplitude && AliasCells(tone, k, matrix) < SmearCells);

    /// <summary>Whether a tone may be what an encoder that bends bands left beside a stronger one.</summary>
    public static bool IsSmear(PlaneTone tone, PlaneTone strongest, LightMatrix matrix, CompressionLoss loss) =>
        loss.IsLossy && tone.Amplitude < SmearShare * strongest.Amplitude && AliasCells(tone, strongest, matrix) < SmearCells;

    /// <summary>The mirror image of a strong tone in the encoder's blocks: its band frequency taken from or added to a multiple of theirs.</summary>
    public static bool IsMirrored(PlaneTone tone, PlaneTone[] known, LightMatrix matrix, CompressionLoss loss)
    {
        double nu = Abs(ToneSearch.Wrap(tone.Nu));
        bool IsOfBlocks(double apart) => Abs(apart) * BlockRows > 0.5 && Abs(apart - Round(apart * BlockRows) / BlockRows) * matrix.Lines < MirrorCells;
        bool Mirrors(double strong) => IsOfBlocks(nu - strong) || IsOfBlocks(nu + strong);
        return loss.RelativeLoss > 0 && matrix.Parities == 1 && Array.Exists(known, k =>
            k.Amplitude > 10 * Max(tone.Amplitude, tone.SearchAmplitude) && AliasCells(tone, k, matrix) < 1 && Mirrors(Abs(ToneSearch.Wrap(k.Nu))));
    }

    /// <summary>Cells between two aliases, whichever way either runs.</summary>
    private static double AliasCells(PlaneTone one, PlaneTone other, LightMatrix matrix) =>
        Abs(Abs(ToneSearch.Wrap(one.X)) - Abs(ToneSearch.Wrap(other.X))) * matrix.Ticks;
}
