using FlickerProbe.Footage;
using static System.Math;

namespace FlickerProbe.Measurement;

/// <summary>How much of a faint, regular change the encoder may have thrown away, judged from the recording itself.</summary>
internal sealed record CompressionLoss(double UnchangedShare, double CodeStep, bool None)
{
    /// <summary>The smallest share of a tone's amplitude that such a recording keeps, 0…1.</summary>
    /// <param name="amplitude">On-camera amplitude, relative to the mean.</param>
    public double LowestKept(double amplitude)
    {
        if (None) return 1;
        double codes = amplitude / CodeStep;
        double flat = Clamp(1.15 * (1 - UnchangedShare), 0.02, 1);
        // A change of several codes is no longer noise to an encoder: it must be kept or the picture is visibly wrong.
        double share = Clamp((codes - 0.5) / 3, 0, 1);
        return flat + (0.97 - flat) * share;
    }

    /// <summary>The on-camera amplitude below which this recording shows nothing, when without compression it would show <paramref name="limit"/>.</summary>
    public double Limit(double limit)
    {
        if (None) return limit;
        for (double amplitude = limit; amplitude < 1; amplitude *= 1.05)
        {
            if (amplitude * LowestKept(amplitude) >= limit) return amplitude;
        }
        return 1;
    }

    /// <summary>Reads the tell-tales.</summary>
    public static CompressionLoss Of(RecordingTraits traits) =>
        new(traits.UnchangedShare ?? 0, traits.CodeStepRelative, traits.Lossless);
}
