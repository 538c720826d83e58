using FlickerProbe.Measurement;
using FlickerProbe.Picture;

namespace FlickerProbe.Files.Pipeline;

/// <summary>Which tones are looked for over the whole picture, and their maps.</summary>
internal static class MappedTones
{
    private const int MostTones = 4, MostOfOneTake = 2;

    /// <summary>The strongest tones of each region; overtones and tones that the map could not tell apart are left out.</summary>
    /// <param name="measured">What was measured in each region.</param>
    /// <param name="seconds">Length of what the map is made of, seconds.</param>
    public static List<Tone> Chosen(IReadOnlyList<MeasuredTake> measured, double seconds)
    {
        var chosen = new List<Tone>();
        foreach (MeasuredTake take in measured)
        {
            var ofTake = new List<Tone>();
            foreach (Tone tone in take.Measurement.Tones.Concat(take.Channels.SelectMany(c => c.Measurement.Tones)).OrderByDescending(t => t.Amplitude.Value))
            {
                if (ofTake.Count == MostOfOneTake) break;
                // A tone of less than a fifth of a cycle in the frames that are read stands still for the map.
                if (Math.Abs(tone.AliasHz.Value) * seconds < 0.2) continue;
                if (ofTake.Any(other => other.Group is not null && other.Group == tone.Group)) continue;
                if (chosen.Concat(ofTake).Any(other => LookAlike(other.AliasHz.Value, tone.AliasHz.Value, seconds))) continue;
                ofTake.Add(tone);
            }
            chosen.AddRange(ofTake);
        }
        return [.. chosen.Take(MostTones)];
    }

    /// <summary>A tone's place in the picture.</summary>
    public static MapTone Place(Tone tone) => new(tone.AliasHz.Value, tone.BandsPerHeight.Value);

    /// <summary>Whether two tones look alike in a map of so many seconds.</summary>
    public static bool LookAlike(double aliasHz, double otherHz, double seconds) => Math.Abs(aliasHz - otherHz) * seconds < 0.7;

    /// <summary>Rows of cells that make them about square.</summary>
    public static int Rows(StripLight light, int width, int height) => Math.Clamp((int)Math.Round((double)light.Strips * height / width), 4, 40);

    /// <summary>The maps with each tone's bands counted in the direction that explains more: for a sensor read from the bottom they run the other way.</summary>
    public static IReadOnlyList<ToneMap> Maps(StripLight light, IReadOnlyList<MapTone> tones, int rows, CancellationToken cancellation)
    {
        MapTone[] plain = [.. tones];
        for (int k = 0; k < plain.Length; k++)
        {
            MapTone turned = plain[k] with { BandsPerHeight = -plain[k].BandsPerHeight };
            if (Total(ToneMap.Of(light, [turned], rows, cancellation)[0]) > Total(ToneMap.Of(light, [plain[k]], rows, cancellation)[0])) plain[k] = turned;
        }
        return ToneMap.Of(light, plain, rows, cancellation);
    }

    private static double Total(ToneMap map) => map.Amplitude.Where(float.IsFinite).Sum(a => (double)a * a);
}
