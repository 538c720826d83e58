using FlickerProbe.Rendering;
using FlickerProbe.Rendering.Camera;
using FlickerProbe.Rendering.Scene;

namespace FlickerProbe.Validation.Cases;

/// <summary>The trap of a case, if it holds one.</summary>
/// <param name="Faults">What goes wrong with time, level and geometry.</param>
/// <param name="Passers">Who walks through.</param>
internal sealed record FaultChoice(ClipFaults Faults, IReadOnlyList<Passer> Passers)
{
    /// <summary>Throws for a trap: three clips in four hold none.</summary>
    public static string Trap(Dice dice) => dice.Weighted(
        (72.0, "none"), (3, "other light"), (2, "other light, reference"), (2, "jitter"), (1.5, "dropped"), (1.5, "dropped, restamped"), (1.5, "repeated"),
        (1.5, "variable rate"), (1.5, "conformed"), (3, "interlaced"), (1, "rotated"), (3, "person crossing"), (2, "drift"), (2, "exposure steps"),
        (1, "blended"), (1, "stabilised"));

    /// <summary>Throws for the details of a trap.</summary>
    public static FaultChoice Throw(
        Dice dice, string trap, FrameRate rate, int frames, bool turned, IReadOnlyList<LightOnSurface> lights, int width, int height, double level)
    {
        double fps = rate.FramesPerSecond, seconds = frames / fps;
        ClipFaults faults = new() { RotationDegrees = turned ? dice.Of(90, 90, 180, 270) : 0 };
        List<Passer> passers = [];
        switch (trap)
        {
            case "jitter":
                faults = faults with { TimestampJitterSeconds = dice.LogBetween(0.0001, 0.003) };
                break;
            case "dropped" or "dropped, restamped":
                faults = faults with { DroppedFrames = Some(dice, frames), RestampRegular = trap != "dropped" };
                break;
            case "repeated":
                faults = faults with { RepeatedFrames = Some(dice, frames) };
                break;
            case "variable rate":
                // A phone that lengthens the frame in dim light: a tenth to a half slower from somewhere on.
                faults = faults with { RateSteps = [new RateStep(dice.Whole(frames / 4, 3 * frames / 4), dice.Chance(0.4) ? new FrameRate(rate.Numerator, 2 * rate.Denominator) : new FrameRate(rate.Numerator * dice.Whole(85, 98), rate.Denominator * 100))] };
                break;
            case "conformed":
                faults = faults with { ConformedRate = dice.Of(new FrameRate(25), new FrameRate(24000, 1001), new FrameRate(30000, 1001)) };
                break;
            case "interlaced":
                faults = faults with { Fields = dice.Of(FieldOrder.TopFirst, FieldOrder.TopFirst, FieldOrder.BottomFirst) };
                break;
            case "drift":
                faults = faults with { DriftPerSecond = (dice.Chance(0.5) ? -1 : 1) * dice.LogBetween(0.001, 0.02) };
                break;
            case "exposure steps":
                faults = faults with { GainSteps = [.. Enumerable.Range(0, dice.Whole(1, 3)).Select(_ => new GainStep(dice.Between(0.1, 0.9) * seconds, 1 + (dice.Chance(0.5) ? -1 : 1) * dice.LogBetween(0.01, 0.1), dice.Chance(0.5) ? 0 : dice.Between(0.1, 1))).OrderBy(s => s.AtSeconds)] };
                break;
            case "blended":
                faults = faults with { BlendWithPrevious = dice.Between(0.2, 0.5) };
                break;
            case "stabilised":
                faults = faults with { StabiliserRows = dice.LogBetween(0.3, 4) };
                break;
            case "person crossing":
            {
                int figure = Math.Max(8, (int)(width * dice.Between(0.08, 0.35)));
                double crossing = dice.Between(0.5, 1) * seconds;
                bool left = dice.Chance(0.5);
                passers.Add(new Passer
                {
                    StartX = left ? width + figure / 2.0 : -figure / 2.0,
                    PixelsPerSecond = (left ? -1 : 1) * (width + figure) / crossing,
                    Width = figure,
                    Top = (int)(height * dice.Between(0.05, 0.4)),
                    SignalLevel = level * dice.Between(0.3, 1.1),
                    Lights = lights,
                });
                break;
            }
        }
        return new FaultChoice(faults, passers);
    }

    /// <summary>A few frames somewhere in the middle of the clip.</summary>
    private static int[] Some(Dice dice, int frames)
    {
        SortedSet<int> picked = [];
        int count = dice.Whole(1, Math.Max(2, frames / 40));
        while (picked.Count < count) picked.Add(dice.Whole(3, frames - 4));
        return [.. picked];
    }
}
