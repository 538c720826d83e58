using FlickerProbe.Camera;

namespace FlickerProbe.Prediction;

/// <summary>The frame rates and shutters that cameras offer.</summary>
public static class StandardSettings
{
    /// <summary>Frame rates from 23.976 to 120 as exact rationals: Recommendation ITU-R BT.2020 and BT.2100, and the doubles of the film rates (common practice, no source).</summary>
    public static IReadOnlyList<FrameRate> Rates { get; } =
    [
        FrameRate.FromRational(24000, 1001), FrameRate.FromRational(24, 1), FrameRate.FromRational(25, 1), FrameRate.FromRational(30000, 1001),
        FrameRate.FromRational(30, 1), FrameRate.FromRational(48000, 1001), FrameRate.FromRational(48, 1), FrameRate.FromRational(50, 1),
        FrameRate.FromRational(60000, 1001), FrameRate.FromRational(60, 1), FrameRate.FromRational(100, 1), FrameRate.FromRational(120000, 1001),
        FrameRate.FromRational(120, 1),
    ];

    /// <summary>Exposure times 1/24 … 1/8000 s and the usual angles, longest first within each kind. Common practice, no source.</summary>
    public static IReadOnlyList<ShutterSetting> Shutters { get; } =
    [
        .. new[] { 24, 25, 30, 40, 48, 50, 60, 80, 96, 100, 120, 125, 144, 150, 160, 180, 192, 200, 240, 250, 300, 320, 400, 500, 640, 800, 1000, 1250, 1600, 2000, 2500, 3200, 4000, 5000, 6400, 8000 }
            .Select(r => ShutterSetting.OfTime(1.0 / r)),
        .. new[] { 360, 270, 180, 172.8, 144, 90, 45 }.Select(ShutterSetting.OfAngle),
    ];
}
