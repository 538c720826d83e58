using System.Globalization;
using FlickerProbe.Camera;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Plots;
using FlickerProbe.Files.Results;
using FlickerProbe.Measurement;
using FlickerProbe.Picture;

namespace FlickerProbe.Files.Pipeline;

/// <summary>Pictures of where the tones found in a clip live: one for each of the strongest tones, all on one scale.</summary>
internal static class ModulationMaps
{
    private const int MostTones = 4, MostOfOneTake = 2;

    /// <summary>Draws the maps of a clip, or of part of it; empty when no tone was found, or none that changes with time.</summary>
    /// <param name="clip">The clip.</param>
    /// <param name="request">How it is to be read.</param>
    /// <param name="measured">What was measured in each of its regions, or in the part.</param>
    /// <param name="firstFrame">First frame of the part.</param>
    /// <param name="frameCount">Frames in it.</param>
    /// <param name="cancellation">Ends the work.</param>
    public static IReadOnlyList<CaptionedPicture> Draw(
        SampledClip clip, TakeRequest request, IReadOnlyList<MeasuredTake> measured, int firstFrame, int frameCount, CancellationToken cancellation)
    {
        FrameRate? rate = request.FrameRate ?? clip.Info.Rate;
        IReadOnlyList<Tone> tones = Chosen(measured, rate?.PeriodSeconds * Math.Min(frameCount, MapFrames.MostFrames) ?? 0);
        if (tones.Count == 0) return [];
        StripLight? light;
        try
        {
            light = MapFrames.Read(clip.Info, request.Transfer, request.Range, rate, firstFrame, frameCount, cancellation);
        }
        catch (ClipException)
        {
            return []; // The measurement stands without its map.
        }
        if (light is null) return [];
        int rows = Math.Clamp((int)Math.Round((double)light.Strips * clip.Info.Height / clip.Info.Width), 4, 40);
        IReadOnlyList<ToneMap> maps = Best(light, tones, rows, cancellation);
        double largest = maps.Max(m => m.Largest);
        if (largest <= 0) return [];
        return [.. maps.Select((map, n) => new CaptionedPicture(
            maps.Count == 1 ? "modulation-map" : string.Create(CultureInfo.InvariantCulture, $"modulation-map-{n + 1}"),
            Caption(tones[n], map),
            ModulationMapPicture.Draw(clip.StillPng, clip.Info.Width, clip.Info.Height, clip.Info.Orientation, map, Name(tones[n]), largest)))];
    }

    /// <summary>The strongest tones of each region; overtones and tones that the map could not tell apart are left out.</summary>
    private static List<Tone> Chosen(IReadOnlyList<MeasuredTake> measured, double seconds)
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
                if (chosen.Concat(ofTake).Any(other => Math.Abs(other.AliasHz.Value - tone.AliasHz.Value) * seconds < 0.7)) continue;
                ofTake.Add(tone);
            }
            chosen.AddRange(ofTake);
        }
        return [.. chosen.Take(MostTones)];
    }

    /// <summary>The maps with each tone's bands counted in the direction that explains more: for a sensor read from the bottom they run the other way.</summary>
    private static IReadOnlyList<ToneMap> Best(StripLight light, IReadOnlyList<Tone> tones, int rows, CancellationToken cancellation)
    {
        MapTone[] plain = [.. tones.Select(t => new MapTone(t.AliasHz.Value, t.BandsPerHeight.Value))];
        for (int k = 0; k < plain.Length; k++)
        {
            MapTone turned = plain[k] with { BandsPerHeight = -plain[k].BandsPerHeight };
            if (Total(ToneMap.Of(light, [turned], rows, cancellation)[0]) > Total(ToneMap.Of(light, [plain[k]], rows, cancellation)[0])) plain[k] = turned;
        }
        return ToneMap.Of(light, plain, rows, cancellation);
    }

    private static double Total(ToneMap map) => map.Amplitude.Where(float.IsFinite).Sum(a => (double)a * a);

    private static string Name(Tone tone) => tone.FrequencyHz is { } hertz ? SpectrumPlot.Hertz(hertz.Value)
        : tone.CandidatesHz.Count is > 0 and <= 3 ? string.Join(" or ", tone.CandidatesHz.Select(SpectrumPlot.Hertz))
        : string.Create(CultureInfo.InvariantCulture, $"tone with {tone.BandsPerHeight.Value:0.#} bands");

    private static string Caption(Tone tone, ToneMap map) => map.Largest > 0
        ? $"Where {Name(tone)} shows: the larger the disc, the deeper; hands that point the same way flicker together; no disc: steady or too dark to tell. Whoever walks through leaves stray discs."
        : $"{Name(tone)} could not be placed in the picture: it is too faint for a single spot.";
}
