using System.Collections.Concurrent;
using System.Security.Cryptography;
using FlickerProbe.Camera;
using FlickerProbe.Files.Auditions;
using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Files.Results;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Auditions;

/// <summary>Stands in for reading clips: a clip's text is <c>hertz amplitude</c> of the light it shows, or <c>broken</c>.</summary>
internal sealed class FakeMeasurer : ITakeMeasurer
{
    private int _atOnce;

    /// <summary>Clips measured, in order.</summary>
    public ConcurrentQueue<string> Calls { get; } = [];

    /// <summary>Whether colours were wanted of each of them.</summary>
    public ConcurrentQueue<ColourMode> Colours { get; } = [];

    /// <summary>Most takes that were worked on at the same time.</summary>
    public int MostAtOnce { get; private set; }

    /// <summary>Calls that must be at work together before any of them goes on (at most half a minute): shows real concurrency without a race.</summary>
    public int WaitUntilAtOnce { get; init; }

    /// <summary>Called at the start of each measurement.</summary>
    public Action<string>? OnStart { get; init; }

    public TakeOutcome Measure(AuditionTake take, TakeRequest request, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        Calls.Enqueue(take.Clip);
        Colours.Enqueue(request.Colour);
        lock (Calls) MostAtOnce = Math.Max(MostAtOnce, ++_atOnce);
        try
        {
            OnStart?.Invoke(take.Clip);
            SpinWait.SpinUntil(() => { lock (Calls) return MostAtOnce >= WaitUntilAtOnce; }, TimeSpan.FromSeconds(30));
            cancellation.ThrowIfCancellationRequested();
            progress?.Report(new StageProgress(take.Clip, 1));
            string text = File.ReadAllText(take.ClipPath).Trim();
            if (text == "broken") throw new ClipException($"'{take.Clip}' holds no picture: copy it again.");
            if (text == "unsteady")
                return new TakeOutcome([], new LevelStepsReading(0.04, [1, 1, 1], [], take.Sweep, new Finding(FindingCodes.SweepUnread, "The sweep lists 2 levels but the clip shows 1 steady stretch.")));
            double[] numbers = [.. text.Split(' ').Select(t => Parsing.Number(t)!.Value)];
            // A sweep's light may differ from level to level: hertz, then an amplitude for each level.
            return new TakeOutcome([.. take.Levels.Select((l, i) => new MeasuredAtLevel(l, Take(take, request, numbers[0], numbers[Math.Min(i + 1, numbers.Length - 1)])))], null);
        }
        finally
        {
            lock (Calls) _atOnce--;
        }
    }

    internal static MeasuredTake Take(AuditionTake take, TakeRequest request, double hertz, double amplitude)
    {
        FrameRate rate = request.FrameRate ?? FrameRate.Parse("25");
        CameraFormat format = new(rate, request.Shutter?.At(rate), request.Readout);
        return new MeasuredTake(
            take.Clip, new ClipFacts("ffv1", 640, 360, "gray", 8, "limited", "bt709", false, null, 0), 640, 360,
            Convert.ToHexStringLower(SHA256.HashData(File.ReadAllBytes(take.ClipPath))),
            take.Region ?? new Region(10, 10, 100, 100), Measurement(format, hertz, amplitude), [], [1, 2, 3]);
    }

    /// <summary>What an estimator without fault would say of a light of one cosine.</summary>
    internal static TakeMeasurement Measurement(CameraFormat format, double hertz, double amplitude)
    {
        const double limit = 0.001;
        double seen = amplitude * Math.Abs(ExposureGain.At(hertz, format.Exposure?.Seconds ?? 0.001));
        Estimate Around(double value, double part) => new(value, value * (1 - part), value * (1 + part));
        Tone[] tones = seen < limit
            ? []
            :
            [
                new Tone(Estimate.Normal(AliasFrequency.Of(hertz, format.Rate), 0.001), Around(hertz * 0.016, 0.01), Around(seen, 0.02), 0.5, Estimate.Normal(hertz, 0.002), [hertz], 1, 1)
                {
                    TimesLimit = seen / limit, Parts = [new UncertaintyPart("noise", seen * 0.02)],
                },
            ];
        return new TakeMeasurement(
            format, 250, 250, new SignalLevel(0.55, 0.7, 0, 0), tones.Length == 0 ? Estimate.AtMost(limit) : Around(seen, 0.02), null, limit, 0.1, null, tones,
            [new Finding(FindingCodes.NoReference, "No reference take.")])
        {
            Waveform = [1 + seen, 1, 1 - seen, 1], WaveformHalfWidth = 0.001 / 3,
            Exhibit = new TakeExhibit(new float[,] { { 0.1f, float.NaN, 0.3f }, { 1f / 3, 0, -1 } }, 10, [1.0 / 3, 2], [0.1, double.PositiveInfinity], true),
        };
    }
}
