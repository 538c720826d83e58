using System.Globalization;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Footage;
using FlickerProbe.Units;

namespace FlickerProbe.Files.Auditions;

/// <summary>Measures a take with the pipeline of a single clip; a sweep is read once, cut into its steady stretches and each of them measured.</summary>
/// <param name="measurer">The pipeline's first half.</param>
public sealed class PipelineTakeMeasurer(TakeMeasurer measurer) : ITakeMeasurer
{
    /// <inheritdoc/>
    public TakeOutcome Measure(AuditionTake take, TakeRequest request, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        if (take.Sweep.Count == 0)
            return new TakeOutcome([.. measurer.Measure(request, progress, cancellation).Select(m => new MeasuredAtLevel(take.Dimmer, m))], null);

        SampledClip clip = measurer.Sample(request, progress, cancellation);
        SampledRegion whole = clip.Regions[0];
        IReadOnlyList<LevelStretch> stretches;
        LevelStepsReading? reading = null;
        if (take.Stretches.Count > 0)
        {
            stretches = Given(take, whole.Take);
        }
        else
        {
            reading = LevelSteps.Find(whole.Take, take.Sweep);
            if (reading.Problem is not null) return new TakeOutcome([], reading);
            stretches = reading.Stretches;
        }
        string stage = $"{Path.GetFileName(request.Clip)}: measuring";
        var levels = new List<MeasuredAtLevel>();
        foreach (LevelStretch stretch in stretches)
        {
            progress?.Report(new StageProgress(stage, (double)levels.Count / stretches.Count));
            SampledRegion part = whole.Part(stretch.FirstFrame, stretch.FrameCount);
            MeasuredTake measured = TakeMeasurer.MeasureRegion(request, clip, part, cancellation);
            levels.Add(new MeasuredAtLevel(stretch.Dimmer, TakeMeasurer.WithMaps(clip.Info, clip.StillPng, request, [measured], stretch.FirstFrame, stretch.FrameCount, cancellation)[0]));
        }
        progress?.Report(new StageProgress(stage, 1));
        return new TakeOutcome(levels, reading);
    }

    private static List<LevelStretch> Given(AuditionTake take, SampledTake whole)
    {
        var stretches = new List<LevelStretch>();
        double period = whole.Rate.PeriodSeconds;
        for (int i = 0; i < take.Sweep.Count; i++)
        {
            (double from, double to) = take.Stretches[i];
            // A millionth of a frame is rounding: 4.48 s at 25 fps is frame 112 and not just under it.
            int first = (int)Math.Ceiling(from / period - 1e-6), end = Math.Min(whole.Traces.Frames, (int)Math.Floor(to / period + 1e-6));
            if (end - first < 1)
            {
                throw new InputException(string.Create(CultureInfo.InvariantCulture,
                    $"The stretch [{from:0.##}, {to:0.##}] of '{take.Clip}' lies outside the clip, which lasts {whole.Traces.Frames * period:0.0} s: give times inside it."));
            }
            stretches.Add(new LevelStretch(first, end - first, double.NaN, take.Sweep[i]));
        }
        return stretches;
    }
}
