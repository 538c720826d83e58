using FlickerProbe.Files.Pipeline;
using FlickerProbe.Files.Results;
using FlickerProbe.Footage;

namespace FlickerProbe.Files.Auditions;

/// <summary>What an audition gave.</summary>
/// <param name="Result">Fixtures, levels, formats and takes with their verdicts.</param>
/// <param name="Failures">Takes that could not be measured, in the order of the file.</param>
/// <param name="Remarks">Things worth telling a person that change no verdict.</param>
/// <param name="FromCache">Takes whose measurement was kept from an earlier run.</param>
public sealed record AuditionOutcome(
    ResultDocument Result, IReadOnlyList<TakeFailure> Failures, IReadOnlyList<string> Remarks, int FromCache);

/// <summary>A take that could not be measured.</summary>
/// <param name="Fixture">Whose take it is.</param>
/// <param name="Clip">The clip as written in the file.</param>
/// <param name="Line">Line of the audition file.</param>
/// <param name="Levels">The dimmer levels that are missing for it.</param>
/// <param name="Message">Why, one plain sentence.</param>
/// <param name="Sweep">What was found in a sweep that could not be assigned, for a picture; null otherwise.</param>
public sealed record TakeFailure(string Fixture, string Clip, int Line, IReadOnlyList<double?> Levels, string Message, LevelStepsReading? Sweep);

/// <summary>How an audition is run.</summary>
public sealed record AuditionOptions
{
    /// <summary>Takes worked on at once: reading a clip keeps about two processors busy.</summary>
    public int AtOnce { get; init; } = 2;

    /// <summary>Whether red, green and blue are measured by themselves.</summary>
    public ColourMode Colour { get; init; }

    /// <summary>Whether pictures are wanted for a report.</summary>
    public bool WithPictures { get; init; } = true;
}
