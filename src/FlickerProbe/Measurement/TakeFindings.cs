using FlickerProbe.Footage;
using static System.FormattableString;

namespace FlickerProbe.Measurement;

/// <summary>Words for what is doubtful about a take: what was seen, why it matters, what to do.</summary>
internal static class TakeFindings
{
    /// <summary>Change that no tone explains, over the mean, above which a take can't be passed.</summary>
    public const double MuchUnexplained = 0.005;

    /// <summary>Change that no tone explains, over the mean, that is worth a word.</summary>
    public const double SomeUnexplained = 0.002;

    /// <summary>So much more flicker in key frames is worth a word.</summary>
    private const double MuchFaded = 0.05;

    /// <summary>Pulsing by the encoder's own doing that is worth a word.</summary>
    private const double MuchPumped = 0.01;

    /// <summary>Collects all doubts of a take.</summary>
    public static List<Finding> Collect(
        SampledTake take, SensorClock clock, ToneModel? model, IReadOnlyList<Tone> tones, CompressionLoss loss,
        double limit, double slowestBeatHz, LockedBands.Answer? locked, double? lockedBound, double driftSpan, double seconds, double unexplained, FrameMixing? mixing = null)
    {
        var findings = new List<Finding>(clock.Findings);
        SignalLevel level = take.Level;
        if (level.Clipped > 0.002)
        {
            findings.Add(new Finding(FindingCodes.Clipped, Invariant($"{level.Clipped:P1} of the region is clipped, which flattens the flicker: lower the exposure so that the region sits at 50–80 % of the signal scale."))
            { ForbidsPass = level.Clipped > 0.01 });
        }
        if (level.Mean < 0.12 || level.Dark > 0.5)
        {
            findings.Add(new Finding(FindingCodes.Dark, Invariant($"The region lies at {level.Mean:P0} of the signal scale, too dark to measure well: brighten it to 50–80 %."))
            { ForbidsPass = true });
        }
        double faded = model?.Prediction.Together ?? 0;
        double pumped = model is not null && Array.Exists(model.Fit.Tones, t => t.IsWholePicture(model.Matrix)) ? loss.PumpedByNoise : 0;
        if (loss.DeadZone > 0.003 || faded > MuchFaded || pumped > MuchPumped)
        {
            string seen = loss.UnchangedShare is > 0.5 ? Invariant($" (it left {loss.UnchangedShare:P0} of the pixels unchanged from frame to frame)") : "";
            string counted = faded > MuchFaded ? Invariant($" The frames between its key frames hold {faded / (1 + faded):P0} less of the flicker that was found; the figures give that back.") : "";
            string asNoise = pumped > MuchPumped ? Invariant($" It may also make the whole picture pulse by up to {pumped:P0}, where it keeps more of this dark picture's noise in one frame than in the next: brighten the region.") : "";
            findings.Add(new Finding(FindingCodes.CrushedRecording, Invariant($"The encoder may have thrown away flicker under {loss.Vanishing:P1} on camera{seen}: record at a higher bit rate.{counted}{asNoise}")));
        }
        if (lockedBound is { } bound)
        {
            findings.Add(new Finding(FindingCodes.LockedBands, locked is { Seen: { } seen }
                ? Invariant($"Bands of about {seen:P1} stand still in the picture: the light is locked to the frame rate; shoot at another frame rate to see it move.")
                : Invariant($"By itself this take can't exclude bands locked to {take.Rate.ToShortText()} frames per second (up to {bound:P1}): a take at another frame rate settles it.")));
        }
        if (seconds < 3)
        {
            findings.Add(new Finding(FindingCodes.ShortClip, Invariant($"The clip is {seconds:0.#} s long; beats slower than {slowestBeatHz:0.##} Hz can't be seen: shoot 5 s or more.")));
        }
        if (model is not null && MainsCycle.SecondsMissing(take, model.Matrix) is { } needed)
        {
            findings.Add(new Finding(FindingCodes.ShortClip, Invariant($"A lamp that a mains dimmer switches off for a part of each half wave may have been dark only where this clip never looked: shoot {Math.Ceiling(needed):0} s or more, or choose a taller region."))
            { ForbidsPass = true });
        }
        if (driftSpan > 0.01)
        {
            findings.Add(new Finding(FindingCodes.LevelDrift, Invariant($"The level of the whole picture wandered by {driftSpan:P1}; it was removed, but a beat slower than {slowestBeatHz:0.##} Hz would look the same: lock the exposure."))
            { ForbidsPass = driftSpan > (take.Readout is { IsGlobal: false } ? 0.03 : 0.01) });
        }
        if (take.Fields != FieldOrder.Progressive)
            findings.Add(new Finding(FindingCodes.Interlaced, "The footage is interlaced; its fields were measured as separate moments."));
        if (take.Exposure is null)
            findings.Add(new Finding(FindingCodes.ShutterUnknown, "The shutter is unknown, so the light's own depth is at least what was recorded: give it with --shutter."));
        if (take.Readout is null && tones.Count > 0)
            findings.Add(new Finding(FindingCodes.ReadoutUnknown, "The camera's readout time is unknown: calibrate it on a lamp of known rate, then the frequency follows."));
        if (tones.Count > 0 && tones[0].CandidatesHz.Count != 1)
        {
            IReadOnlyList<double> hertz = tones[0].CandidatesHz;
            findings.Add(new Finding(FindingCodes.AmbiguousFrequency, hertz.Count switch
            {
                0 when model is null && take.Readout is null => "The bands are plain, but their rate can't be told from a still without the camera's readout time: calibrate it, or shoot a clip.",
                0 => "No true frequency fits what was seen with the readout time given: check the readout time and the frame rate.",
                _ => Invariant($"{hertz.Count} true frequencies fit, from {hertz[0]:0.#} Hz to {hertz[^1]:0.#} Hz; a take at another frame rate or a calibrated readout decides."),
            }));
        }
        if (take.Reference is null)
            findings.Add(new Finding(FindingCodes.NoReference, "No take with the fixture off was given: other light on the same surface would dilute the flicker, so the depth is a lower bound if there was any."));
        if (unexplained > SomeUnexplained)
        {
            findings.Add(new Finding(FindingCodes.Unexplained, Invariant($"The rows change by about {unexplained:P1} more than noise and the tones found explain: something moved, or the light does what no steady pattern describes; shoot again with nothing moving in the region."))
            { ForbidsPass = unexplained > MuchUnexplained });
        }
        if (mixing is not null)
        {
            findings.Add(new Finding(FindingCodes.MixedFrames, mixing.MayBeTheEncoders
                ? "Noise that changes from frame to frame is weakened, as where each frame holds part of the one before; the encoder may have done that too. Flicker may have faded with it: switch off noise reduction and frame blending, record at a higher bit rate, and use the camera's original file."
                : "Each frame holds part of the one before, so that flicker which changes from frame to frame fades or vanishes: switch off noise reduction and frame blending, and use the camera's original file.")
            { ForbidsPass = true });
        }
        if (model is { MovingParts: > 0 })
            findings.Add(new Finding(FindingCodes.Motion, Invariant($"Something moved in the region: {model.MovingParts} changes that not all parts of the region share were left out.")));
        return findings;
    }
}
