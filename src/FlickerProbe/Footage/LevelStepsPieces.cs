using static System.Math;

namespace FlickerProbe.Footage;

/// <summary>Turns the pieces of a level trace into its flat stretches: drops fades, joins what belongs together, trims the ends.</summary>
internal static class LevelStepsPieces
{
    /// <summary>A flat stretch: samples [First, End) and its level in the trace's unit.</summary>
    internal readonly record struct Flat(int First, int End, double Level);

    /// <summary>The flat stretches of a model, in order of time.</summary>
    /// <param name="model">Trace, beats and pieces.</param>
    /// <param name="smallestStep">Smaller differences of level are none.</param>
    /// <param name="fadePerSample">Steeper pieces are fades.</param>
    /// <param name="fadeInAll">Pieces that move by more in all are fades.</param>
    /// <param name="shortest">Shorter stretches do not count, samples.</param>
    internal static List<Flat> Flats(LevelStepsModel model, double smallestStep, double fadePerSample, double fadeInAll, int shortest)
    {
        List<LevelStepsPartition.Piece> pieces = Join([.. model.Pieces], model, smallestStep / 2);
        var flats = new List<Flat>();
        for (int i = 0; i < pieces.Count; i++)
        {
            LevelStepsPartition.Piece piece = pieces[i];
            double doubt = 2 * model.Noise * piece.SlopePerNoise;
            double slope = Max(0, Abs(piece.Slope) - doubt);
            int length = piece.End - piece.First;
            if (slope > fadePerSample || slope * length > fadeInAll) continue;
            // Two samples are given up at each inner end: a bin may straddle the change, and lamps and dimmers settle.
            int first = i == 0 ? piece.First : piece.First + 2, end = i == pieces.Count - 1 ? piece.End : piece.End - 2;
            flats.Add(new Flat(first, end, piece.Middle));
        }
        flats = [.. flats.Select(f => LevelStepsTrim.Ends(f, model, smallestStep)).Where(f => f.End - f.First >= shortest)];
        return OnePerLevel(flats, smallestStep);
    }

    // Neighbouring pieces that meet without a jump and run the same way are one: a cut there was a cut in noise or flicker.
    private static List<LevelStepsPartition.Piece> Join(List<LevelStepsPartition.Piece> pieces, LevelStepsModel model, double smallestJump)
    {
        for (int i = 1; i < pieces.Count;)
        {
            LevelStepsPartition.Piece a = pieces[i - 1], b = pieces[i];
            int lengthA = a.End - a.First, lengthB = b.End - b.First;
            double jump = b.Middle - b.Slope * lengthB / 2 - (a.Middle + a.Slope * lengthA / 2);
            double doubt = 2 * model.Noise * Sqrt(4.0 / lengthA + 4.0 / lengthB);
            double levels = Abs(b.Middle - a.Middle), inAll = Abs(a.Slope) * lengthA + Abs(b.Slope) * lengthB;
            if (Abs(jump) > Max(smallestJump, Min(doubt, 4 * smallestJump)) || levels > 2 * smallestJump || inAll > 4 * smallestJump)
            {
                i++;
                continue;
            }
            double middle = (a.Middle * lengthA + b.Middle * lengthB) / (lengthA + lengthB);
            double slope = levels < 1e-9 ? 0 : (b.Middle - a.Middle) / ((lengthA + lengthB) / 2.0);
            double length = lengthA + lengthB;
            pieces[i - 1] = new LevelStepsPartition.Piece(a.First, b.End, middle, slope, Sqrt(12 / (length * (length * length - 1))), a.Squares + b.Squares);
            pieces.RemoveAt(i);
        }
        return pieces;
    }

    // The same level twice in a row is one stretch that something interrupted (a shadow, a dropped frame): the longer half stands for it.
    private static List<Flat> OnePerLevel(List<Flat> flats, double smallestStep)
    {
        for (int i = 1; i < flats.Count;)
        {
            if (Abs(flats[i].Level - flats[i - 1].Level) >= smallestStep)
            {
                i++;
                continue;
            }
            bool keepFirst = flats[i - 1].End - flats[i - 1].First >= flats[i].End - flats[i].First;
            flats.RemoveAt(keepFirst ? i : i - 1);
        }
        return flats;
    }
}
