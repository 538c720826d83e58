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
    /// <summary>Draws the maps of a clip, or of part of it; empty when no tone was found, or none that changes with time.</summary>
    /// <param name="info">The clip.</param>
    /// <param name="stillPng">A frame of it to draw over; null for none.</param>
    /// <param name="request">How it is to be read.</param>
    /// <param name="measured">What was measured in each of its regions, or in the part.</param>
    /// <param name="firstFrame">First frame of the part.</param>
    /// <param name="frameCount">Frames in it.</param>
    /// <param name="cancellation">Ends the work.</param>
    public static IReadOnlyList<CaptionedPicture> Draw(
        ClipInfo info, byte[]? stillPng, TakeRequest request, IReadOnlyList<MeasuredTake> measured, int firstFrame, int frameCount, CancellationToken cancellation)
    {
        FrameRate? rate = request.FrameRate ?? info.Rate;
        IReadOnlyList<Tone> tones = MappedTones.Chosen(measured, rate?.PeriodSeconds * Math.Min(frameCount, MapFrames.MostFrames) ?? 0);
        if (tones.Count == 0) return [];
        StripLight? light;
        try
        {
            light = MapFrames.Read(info, request.Transfer, request.Range, rate, firstFrame, frameCount, cancellation);
        }
        catch (ClipException)
        {
            return []; // The measurement stands without its map.
        }
        if (light is null) return [];
        IReadOnlyList<ToneMap> maps = MappedTones.Maps(light, [.. tones.Select(MappedTones.Place)], MappedTones.Rows(light, info.Width, info.Height), cancellation);
        double largest = maps.Max(m => m.Largest);
        if (largest <= 0) return [];
        return [.. maps.Select((map, n) => new CaptionedPicture(
            maps.Count == 1 ? "modulation-map" : string.Create(CultureInfo.InvariantCulture, $"modulation-map-{n + 1}"),
            Caption(tones[n], map),
            ModulationMapPicture.Draw(stillPng, info.Width, info.Height, info.Orientation, map, Name(tones[n]), largest)))];
    }

    private static string Name(Tone tone) => tone.FrequencyHz is { } hertz ? SpectrumPlot.Hertz(hertz.Value)
        : tone.CandidatesHz.Count is > 0 and <= 3 ? string.Join(" or ", tone.CandidatesHz.Select(SpectrumPlot.Hertz))
        : string.Create(CultureInfo.InvariantCulture, $"tone with {tone.BandsPerHeight.Value:0.#} bands");

    private static string Caption(Tone tone, ToneMap map) => map.Largest > 0
        ? $"Where {Name(tone)} shows: the larger the disc, the deeper; hands that point the same way flicker together; no disc: steady or too dark to tell. Whoever walks through leaves stray discs."
        : $"{Name(tone)} could not be placed in the picture: it is too faint for a single spot.";
}
