using FlickerProbe.Rendering.Camera;

namespace FlickerProbe.Validation.Cases;

/// <summary>How the camera of a case exposes, and what its user knows of it.</summary>
/// <param name="Rate">Rate of the sensor.</param>
/// <param name="ExposureSeconds">Exposure time.</param>
/// <param name="ExposureName">The shutter as the menu says it.</param>
/// <param name="ShutterKnown">Whether the user says so.</param>
/// <param name="ReadoutSeconds">Readout of the coded height; 0 global; negative from the bottom.</param>
/// <param name="ReadoutKnown">Whether the user says so.</param>
/// <param name="StatedReadoutSeconds">What the user says: the truth, or off by what a calibration leaves.</param>
internal sealed record CameraChoice(
    FrameRate Rate, double ExposureSeconds, string ExposureName, bool ShutterKnown, double ReadoutSeconds, bool ReadoutKnown, double StatedReadoutSeconds)
{
    /// <summary>Throws for a camera. Fields of interlaced footage have half the frame period for exposure and readout.</summary>
    public static CameraChoice Throw(Dice dice, bool interlaced, bool slowMotion)
    {
        string name = interlaced
            ? dice.Of("25", "30000/1001")
            : slowMotion ? dice.Of("50", "60000/1001", "100", "120000/1001")
            : dice.Weighted((12, "24000/1001"), (6, "24"), (24, "25"), (22, "30000/1001"), (6, "30"), (10, "50"), (12, "60000/1001"), (3, "60"), (2, "48"), (2, "100"), (1, "120000/1001"));
        FrameRate rate = new(long.Parse(name.Split('/')[0], System.Globalization.CultureInfo.InvariantCulture), name.Contains('/', StringComparison.Ordinal) ? 1001 : 1);
        double period = 1 / rate.FramesPerSecond / (interlaced ? 2 : 1);
        (double exposure, string shutter) = Shutter(dice, period);

        bool global = dice.Chance(0.06);
        double readout = global ? 0 : dice.LogBetween(4, 33) / 1000;
        if (!global)
        {
            // What a sensor can do within a frame: fast rates force fast readout.
            double most = 0.98 * period;
            while (readout > most) readout = most * dice.Between(0.4, 1);
            if (dice.Chance(0.08)) readout = -readout;
        }
        bool known = dice.Chance(0.85);
        double stated = dice.Chance(0.7) ? readout : readout * (1 + dice.Normal(0.0015));
        return new CameraChoice(rate, exposure, shutter, dice.Chance(0.92), readout, known, stated);
    }

    /// <summary>Throws for another setting of the same camera: another shutter, mostly at another rate.</summary>
    public static (FrameRate Rate, double ExposureSeconds, string Name) ThrowOther(Dice dice, CameraChoice own)
    {
        FrameRate rate = dice.Chance(0.3) ? own.Rate : dice.Of(new FrameRate(24000, 1001), new FrameRate(25), new FrameRate(30000, 1001), new FrameRate(50), new FrameRate(60000, 1001));
        (double exposure, string name) = Shutter(dice, 1 / rate.FramesPerSecond);
        return (rate, exposure, name);
    }

    /// <summary>Throws for a shutter that the frame has room for.</summary>
    internal static (double Seconds, string Name) Shutter(Dice dice, double period)
    {
        while (true)
        {
            double seconds;
            string name;
            if (dice.Chance(0.2))
            {
                double angle = dice.Of(11.25, 45, 90, 144, 172.8, 180, 270, 360);
                (seconds, name) = (angle / 360 * period, System.FormattableString.Invariant($"{angle:0.##}°"));
            }
            else
            {
                double over = dice.Weighted(
                    (2, 24.0), (4, 25), (4, 30), (8, 48), (16, 50), (12, 60), (10, 100), (6, 120), (8, 125), (8, 200), (12, 250), (4, 400), (8, 500), (8, 1000), (4, 2000), (2, 4000));
                (seconds, name) = (1 / over, System.FormattableString.Invariant($"1/{over:0}"));
            }
            if (seconds <= period * 1.0000001) return (seconds, name);
        }
    }
}
