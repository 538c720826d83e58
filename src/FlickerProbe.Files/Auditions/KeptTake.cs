using FlickerProbe.Files.Pipeline;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Files.Auditions;

/// <summary>A take's outcome as it is kept, without its pictures.</summary>
/// <param name="Key">What it belongs to.</param>
/// <param name="Levels">The measurements.</param>
/// <param name="Sweep">What was found in a sweep.</param>
internal sealed record KeptTake(string Key, IReadOnlyList<MeasuredAtLevel> Levels, LevelStepsReading? Sweep)
{
    /// <summary>Takes an outcome apart into numbers and pictures.</summary>
    internal static (KeptTake Take, KeptPictures Pictures) Pack(string key, TakeOutcome outcome) => (
        new KeptTake(key, [.. outcome.Levels.Select(l => l with { Take = l.Take with { StillPng = null, Extras = [], Measurement = l.Take.Measurement with { Exhibit = null } } })], outcome.Sweep),
        new KeptPictures(key, outcome.Levels.Count == 0 ? null : outcome.Levels[0].Take.StillPng, [.. outcome.Levels.Select(l => l.Take.Measurement.Exhibit)],
            [.. outcome.Levels.Select(l => l.Take.Extras)]));

    /// <summary>Puts it together again.</summary>
    internal TakeOutcome Unpack(KeptPictures? pictures, double? dimmer)
    {
        MeasuredAtLevel Whole(MeasuredAtLevel level, int i)
        {
            MeasuredTake take = pictures is null
                ? level.Take
                : level.Take with { StillPng = pictures.StillPng, Extras = pictures.Extras[i], Measurement = level.Take.Measurement with { Exhibit = pictures.Exhibits[i] } };
            // What the dimmer stood at is the file's word, not the clip's; in a sweep it is part of the key.
            return new MeasuredAtLevel(Sweep is null && Levels.Count == 1 ? dimmer : level.Dimmer, take);
        }
        return new TakeOutcome([.. Levels.Select(Whole)], Sweep);
    }
}

/// <summary>The pictures of a take: one still for the clip, one exhibit for each level.</summary>
/// <param name="Key">What they belong to.</param>
/// <param name="StillPng">A frame of the clip; null when there is none.</param>
/// <param name="Exhibits">Band picture and spectrum of each level.</param>
/// <param name="Extras">Modulation maps of each level.</param>
internal sealed record KeptPictures(string Key, byte[]? StillPng, IReadOnlyList<TakeExhibit?> Exhibits, IReadOnlyList<IReadOnlyList<Results.CaptionedPicture>> Extras);

/// <summary>A file's hash with what shows that the file is still the same.</summary>
/// <param name="Path">Full path.</param>
/// <param name="Length">Bytes.</param>
/// <param name="ChangedTicks">Time of the last change, ticks, UTC.</param>
/// <param name="Sha256">The hash, lower-case hexadecimal.</param>
internal sealed record KeptHash(string Path, long Length, long ChangedTicks, string Sha256);
