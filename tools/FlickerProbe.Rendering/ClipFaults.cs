using System.Text.Json.Serialization;
using FlickerProbe.Rendering.Camera;

namespace FlickerProbe.Rendering;

/// <summary>Whether frames are two fields, and which comes first.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<FieldOrder>))]
public enum FieldOrder
{
    /// <summary>Not interlaced.</summary>
    Progressive,

    /// <summary>The upper field (rows 0, 2, 4…) is exposed first.</summary>
    TopFirst,

    /// <summary>The lower field (rows 1, 3, 5…) is exposed first.</summary>
    BottomFirst,
}

/// <summary>A change of gain, as automatic exposure makes it.</summary>
/// <param name="AtSeconds">When it begins, s after the first frame.</param>
/// <param name="Factor">Gain reached, relative to that at the start of the clip.</param>
/// <param name="RampSeconds">How long the change takes, s; 0: from one frame to the next.</param>
public sealed record GainStep(double AtSeconds, double Factor, double RampSeconds = 0);

/// <summary>From a frame on, the sensor runs at another rate: true variable frame rate.</summary>
/// <param name="FromFrame">First sensor frame that lasts as long as the new rate says.</param>
/// <param name="FrameRate">The new rate.</param>
public sealed record RateStep(int FromFrame, FrameRate FrameRate);

/// <summary>All that goes wrong with real recordings. The default is: nothing.</summary>
public sealed record ClipFaults
{
    /// <summary>Change of gain per second as a share of the gain at the start: a slow drift of level.</summary>
    public double DriftPerSecond { get; init; }

    /// <summary>Changes of gain by automatic exposure, in order of time.</summary>
    public IReadOnlyList<GainStep> GainSteps { get; init; } = [];

    /// <summary>Time stamps scatter about the sensor's regular grid by this much, s (standard deviation; never more than 0.45 of a frame).</summary>
    public double TimestampJitterSeconds { get; init; }

    /// <summary>The sensor's own rate changes on the way.</summary>
    public IReadOnlyList<RateStep> RateSteps { get; init; } = [];

    /// <summary>Sensor frames that never reach the file.</summary>
    public IReadOnlyList<int> DroppedFrames { get; init; } = [];

    /// <summary>Sensor frames that the file holds twice running, the copy in place of the frame after.</summary>
    public IReadOnlyList<int> RepeatedFrames { get; init; } = [];

    /// <summary>Whether the file's time stamps are regular again after dropping, so that only the pictures tell.</summary>
    public bool RestampRegular { get; init; }

    /// <summary>The file plays at this rate whatever the sensor did: conformed slow motion. Implies regular time stamps.</summary>
    public FrameRate? ConformedRate { get; init; }

    /// <summary>Share of the frame before mixed into each frame (in signal): frame blending, 0…1.</summary>
    public double BlendWithPrevious { get; init; }

    /// <summary>Interlacing: the second field follows half a frame after the first.</summary>
    public FieldOrder Fields { get; init; } = FieldOrder.Progressive;

    /// <summary>Rotation written as metadata only: how far a player turns the coded picture clockwise, 0, 90, 180 or 270 degrees (mp4, mov).</summary>
    public int RotationDegrees { get; init; }

    /// <summary>The pictures themselves turned clockwise before they were written, 0, 90, 180 or 270 degrees: sensor rows become columns, and no tag tells.</summary>
    public int TurnedDegrees { get; init; }

    /// <summary>Standard deviation of a random vertical shift of the picture against the sensor rows, rows: a stabiliser.</summary>
    public double StabiliserRows { get; init; }
}
