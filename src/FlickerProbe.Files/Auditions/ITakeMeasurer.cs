using FlickerProbe.Files.Pipeline;
using FlickerProbe.Footage;

namespace FlickerProbe.Files.Auditions;

/// <summary>Measures one take of an audition.</summary>
public interface ITakeMeasurer
{
    /// <summary>Reads the clip and measures it at each of the take's levels.</summary>
    /// <param name="take">The take.</param>
    /// <param name="request">The same as the pipeline wants it; exactly one region, or none for an automatic one.</param>
    /// <param name="progress">Told how far it is; null for nobody.</param>
    /// <param name="cancellation">Ends the work and throws.</param>
    /// <exception cref="Units.InputException">A setting can't be used with this clip.</exception>
    /// <exception cref="Decoding.ClipException">The clip can't be read or holds nothing measurable.</exception>
    TakeOutcome Measure(AuditionTake take, TakeRequest request, IProgress<StageProgress>? progress, CancellationToken cancellation);
}

/// <summary>What a take gave.</summary>
/// <param name="Levels">One measurement for each dimmer level; empty when a sweep could not be read.</param>
/// <param name="Sweep">What was found in a sweep; null when the take is none, or when its stretches were given by hand.</param>
public sealed record TakeOutcome(IReadOnlyList<MeasuredAtLevel> Levels, LevelStepsReading? Sweep);

/// <summary>A measurement at one dimmer level.</summary>
/// <param name="Dimmer">The level, 0…1; null when unknown.</param>
/// <param name="Take">The measurement.</param>
public sealed record MeasuredAtLevel(double? Dimmer, MeasuredTake Take);
