using FlickerProbe.Light;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Prediction;

/// <summary>Depth of the recorded waveform with its interval.</summary>
/// <remarks>
/// Two kinds of doubt, added in quadrature. The shutter's error moves the gains of all tones together, so the whole waveform is rebuilt at
/// several offsets of it and the extremes count. Errors of the amplitudes are in part independent and in part common (the take's own shutter): the
/// larger counts of the quadrature sum of all that each tone may add, no matter where in the waveform, and the plain sum of what each really
/// changes. The first guards waveforms whose top is shared by several tones, where changing one tone alone shows nothing.
/// Coverage by simulation: see the tests.
/// </remarks>
internal static class WaveformDepth
{
    private static readonly double[] Offsets = [-1, -0.75, -0.5, -0.25, 0.25, 0.5, 0.75, 1];

    /// <summary>The depth, 0…1.</summary>
    /// <param name="pieces">What the format records.</param>
    /// <param name="hidden">What may be there unseen; added to the upper end.</param>
    public static Estimate Of(IReadOnlyList<LightPiece> pieces, double hidden)
    {
        Estimate depth = AtWorstPhases(pieces, hidden);
        LooseTone[] ofUnknownKin = [.. pieces.OfType<LooseTone>().Where(p => p.IsOfUnknownKin)];
        if (ofUnknownKin.Length == 0) return depth;
        // Sums and differences of two lights keep step with both, and may fill the troughs of both together. But where both lights peak and where both are
        // lowest a sum or difference is the same, so that the lights alone surely show; and so does each tone, averaged over the moments of all others.
        double lights = AtWorstPhases([.. pieces.Except(ofUnknownKin)], 0).Low, strongest = ofUnknownKin.Max(p => AtWorstPhases([p], 0).Low);
        return depth with { Low = Min(depth.Low, Max(lights, strongest)) };
    }

    private static Estimate AtWorstPhases(IReadOnlyList<LightPiece> pieces, double hidden)
    {
        double value = At(pieces, 0), least = value, most = value;
        foreach (double offset in Offsets.Concat(Nulls(pieces)))
        {
            double depth = At(pieces, offset);
            least = Min(least, depth);
            most = Max(most, depth);
        }

        (double up, double down) = Amplitudes(pieces, value);
        double above = double.Hypot(up, most - value), below = double.Hypot(down, value - least);
        return new Estimate(value, Max(0, Min(value - below, AllAtLow(pieces))), Min(1, value + above + hidden));
    }

    /// <summary>The depth with every tone of doubtful frequency at its lowest. Overtones share the doubt about their fundamental's: a shutter that hides the one that is
    /// true hides them all, and beside others at their worst, which make the light go out by themselves, one alone would not show what that takes away.</summary>
    private static double AllAtLow(IReadOnlyList<LightPiece> pieces) =>
        Waveform.WorstDepth(pieces.Select(p => p is LooseTone loose ? loose.AtLowestCandidate : p.Extremes(0)));

    private static double At(IReadOnlyList<LightPiece> pieces, double offset) => Waveform.WorstDepth(pieces.Select(p => p.Extremes(offset)));

    /// <summary>Offsets that put a piece's lowest tone right at a null: the depth has its sharp minimum there.</summary>
    private static IEnumerable<double> Nulls(IReadOnlyList<LightPiece> pieces)
    {
        foreach (CameraTone tone in pieces.Select(p => p.Tones[0]))
        {
            if (tone is not { Cycles: > 0.5 and { } cycles, Spread: > 0 }) continue;
            double offset = (Math.Round(cycles) / cycles - 1) / tone.Spread;
            if (Abs(offset) < 1) yield return offset;
        }
    }

    private static (double Up, double Down) Amplitudes(IReadOnlyList<LightPiece> pieces, double value)
    {
        double max = 1, min = 1;
        foreach (LightPiece piece in pieces)
        {
            (double above, double below) = piece.Extremes(0);
            max += above;
            min += below;
        }

        double addedSquared = 0, takenSquared = 0, added = 0, taken = 0;
        foreach (LightPiece piece in pieces)
        {
            (double above, double below) = piece.Extremes(0);
            foreach (Doubt doubt in piece.Doubts)
            {
                double more = Waveform.ModulationDepth(max - above + doubt.AtHigh.Max, min - below + doubt.AtHigh.Min) - value;
                double less = Waveform.ModulationDepth(max - above + doubt.AtLow.Max, min - below + doubt.AtLow.Min) - value;
                added += Max(0, Max(more, less));
                taken += Max(0, Max(-more, -less));
                addedSquared += doubt.MayAdd * doubt.MayAdd;
                takenSquared += doubt.MayTake * doubt.MayTake;
            }
        }
        return (Max(added, Sqrt(addedSquared)), Max(taken, Sqrt(takenSquared)));
    }
}
