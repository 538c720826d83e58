using FlickerProbe.Light;

namespace FlickerProbe.Room;

/// <summary>One tone of a light for the room figures.</summary>
/// <param name="FrequencyHz">Frequency, hertz.</param>
/// <param name="Amplitude">Amplitude relative to the mean.</param>
/// <param name="PhaseRadians">Phase within its group; null when unknown.</param>
/// <param name="Group">Tones of one number keep their phases; null when alone.</param>
/// <param name="HarmonicNumber">Place in the group; null when alone.</param>
public sealed record RoomTone(double FrequencyHz, double Amplitude, double? PhaseRadians = null, int? Group = null, int? HarmonicNumber = null);

/// <summary>Percent amplitude modulation of what lies under a cut-off frequency, as a ratio.</summary>
/// <remarks>
/// California Title 24, Joint Appendix JA10.6: (max − min)/(max + min) of the record after everything above the cut-off is set to zero; cut-offs 40, 90, 200, 400
/// and 1000 Hz. A tone exactly at the cut-off is taken as above it (the text leaves it open). After such a filter the figure may exceed 1.
/// </remarks>
public static class AmplitudeModulation
{
    /// <summary>The cut-offs of JA10, hertz.</summary>
    public static IReadOnlyList<double> CutOffsHz { get; } = [40, 90, 200, 400, 1000];

    /// <summary>(max − min)/(max + min) of the tones under the cut-off, as a ratio; tones without known phase meet at the worst.</summary>
    public static double Below(double cutOffHz, IEnumerable<RoomTone> tones)
    {
        RoomTone[] kept = [.. tones.Where(t => t.FrequencyHz < cutOffHz)];
        double max = 1, min = 1;
        foreach (IGrouping<int?, RoomTone> group in kept.GroupBy(t => t is { PhaseRadians: not null, HarmonicNumber: >= 1 } ? t.Group : null))
        {
            if (group.Key is null)
            {
                max += group.Sum(t => t.Amplitude);
                min -= group.Sum(t => t.Amplitude);
                continue;
            }
            double[] wave = Waveform.Sample([.. group.Select(t => new Cosine(t.HarmonicNumber!.Value, t.Amplitude, t.PhaseRadians!.Value))]);
            max += wave.Max() - 1;
            min += wave.Min() - 1;
        }
        return (max - min) / (max + min);
    }
}
