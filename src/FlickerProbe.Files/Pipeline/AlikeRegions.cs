using FlickerProbe.Camera;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Picture;

namespace FlickerProbe.Files.Pipeline;

/// <summary>Looks once more at areas that the program chose itself: where parts of one flicker differently, each part is a region of its own.</summary>
internal static class AlikeRegions
{
    private const int MostTones = 4;

    /// <summary>The regions in reading order, divided where that is called for; null when every area flickers alike.</summary>
    /// <param name="clip">The clip, read in the regions that were found.</param>
    /// <param name="request">How it is to be read.</param>
    /// <param name="measured">What was measured in each region.</param>
    /// <param name="cancellation">Ends the work.</param>
    public static IReadOnlyList<Region>? Of(SampledClip clip, TakeRequest request, IReadOnlyList<MeasuredTake> measured, CancellationToken cancellation)
    {
        ClipInfo info = clip.Info;
        FrameRate? rate = request.FrameRate ?? info.Rate;
        int frames = measured[0].Measurement.Frames;
        List<MapTone> tones = Candidates(measured, rate?.PeriodSeconds * Math.Min(frames, MapFrames.MostFrames) ?? 0);
        if (tones.Count == 0) return null;
        StripLight? light;
        try
        {
            light = MapFrames.Read(info, request.Transfer, request.Range, rate, 0, frames, cancellation);
        }
        catch (ClipException)
        {
            return null; // The measurement stands as it is.
        }
        if (light is null) return null;
        IReadOnlyList<ToneMap> maps = MappedTones.Maps(light, tones, MappedTones.Rows(light, info.Width, info.Height), cancellation);
        var regions = new List<Region>();
        foreach (MeasuredTake take in measured)
        {
            IReadOnlyList<CellRect> parts = AlikeParts.Of(Inside(take.Region, info, maps[0]), maps);
            if (parts.Count == 0) regions.Add(take.Region);
            else regions.AddRange(parts.Select(p => Pixels(p, info, maps[0])));
        }
        if (regions.SequenceEqual(measured.Select(m => m.Region))) return null;
        return [.. ReadingOrder.Of(regions).Select(place => regions[place.Index] with { Name = place.Words.Length > 0 ? place.Words : null })];
    }

    /// <summary>The tones that were stated, and those that only a part of a region showed.</summary>
    private static List<MapTone> Candidates(IReadOnlyList<MeasuredTake> measured, double seconds)
    {
        List<MapTone> tones = [.. MappedTones.Chosen(measured, seconds).Select(MappedTones.Place)];
        foreach (UnsharedTone tone in measured.SelectMany(m => m.Measurement.UnsharedTones))
        {
            if (tones.Count == MostTones) break;
            if (!tones.Any(t => MappedTones.LookAlike(Math.Abs(t.AliasHz), Math.Abs(tone.AliasHz), seconds))) tones.Add(new MapTone(tone.AliasHz, tone.BandsPerHeight));
        }
        return tones;
    }

    /// <summary>The cells that lie wholly in a region.</summary>
    private static CellRect Inside(Region displayed, ClipInfo info, ToneMap map)
    {
        Region coded = info.Orientation.ToCoded(displayed, info.Width, info.Height);
        int left = (coded.X * map.Columns + info.Width - 1) / info.Width, right = (coded.X + coded.Width) * map.Columns / info.Width;
        int top = (coded.Y * map.Rows + info.Height - 1) / info.Height, bottom = (coded.Y + coded.Height) * map.Rows / info.Height;
        return new CellRect(left, top, Math.Max(0, right - left), Math.Max(0, bottom - top));
    }

    private static Region Pixels(CellRect cells, ClipInfo info, ToneMap map)
    {
        int x = (cells.Left * info.Width + map.Columns - 1) / map.Columns, y = (cells.Top * info.Height + map.Rows - 1) / map.Rows;
        int right = (cells.Left + cells.Width) * info.Width / map.Columns, bottom = (cells.Top + cells.Height) * info.Height / map.Rows;
        return info.Orientation.ToDisplayed(new Region(x, y, right - x, bottom - y), info.Width, info.Height);
    }
}
