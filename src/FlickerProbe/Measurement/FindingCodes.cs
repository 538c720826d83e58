namespace FlickerProbe.Measurement;

/// <summary>The stable codes of warnings and reasons. Scripts read them: never rename one.</summary>
public static class FindingCodes
{
    /// <summary>The region reaches the ceiling of the signal scale.</summary>
    public const string Clipped = "clipped";
    /// <summary>The region is too dark to measure.</summary>
    public const string Dark = "dark";
    /// <summary>Compression has flattened faint change.</summary>
    public const string CrushedRecording = "crushed-recording";
    /// <summary>Something could hide at a null of this shutter.</summary>
    public const string HiddenAtShutter = "hidden-at-shutter";
    /// <summary>Bands locked to the frame rate are there or can't be excluded.</summary>
    public const string LockedBands = "locked-bands";
    /// <summary>The clip is too short for what is asked of it.</summary>
    public const string ShortClip = "short-clip";
    /// <summary>The whole picture's level wandered.</summary>
    public const string LevelDrift = "level-drift";
    /// <summary>The frame times are not those of one steady rate.</summary>
    public const string VariableRate = "variable-rate";
    /// <summary>Frames are missing or shown twice.</summary>
    public const string DroppedFrames = "dropped-frames";
    /// <summary>Each frame holds two fields.</summary>
    public const string Interlaced = "interlaced";
    /// <summary>The picture is shown rotated; rows are those of the coded picture.</summary>
    public const string Rotated = "rotated";
    /// <summary>The exposure time is unknown.</summary>
    public const string ShutterUnknown = "shutter-unknown";
    /// <summary>The readout time is unknown.</summary>
    public const string ReadoutUnknown = "readout-unknown";
    /// <summary>Several true frequencies fit what was seen.</summary>
    public const string AmbiguousFrequency = "ambiguous-frequency";
    /// <summary>No take with the fixture off: other light may dilute the depth.</summary>
    public const string NoReference = "no-reference";
    /// <summary>The transfer curve was assumed.</summary>
    public const string AssumedTransfer = "assumed-transfer";
    /// <summary>Two takes of one light disagree.</summary>
    public const string ContradictingTakes = "contradicting-takes";
    /// <summary>The light's rate differs from take to take.</summary>
    public const string RateWandered = "rate-wandered";
    /// <summary>The picture itself may flash at a rate that harms photosensitive viewers.</summary>
    public const string ViewerFlashHazard = "viewer-flash-hazard";
    /// <summary>Something moved in the region.</summary>
    public const string Motion = "motion-in-region";
    /// <summary>Rows change more than noise and the tones found explain.</summary>
    public const string Unexplained = "unexplained-change";
    /// <summary>Each frame holds part of the one before, or its noise looks as if.</summary>
    public const string MixedFrames = "mixed-frames";
    /// <summary>Colour was recorded with fewer rows than luma.</summary>
    public const string ColourRows = "colour-rows";
    /// <summary>The recording holds colours, and they were not measured one by one.</summary>
    public const string ColoursUnmeasured = "colours-unmeasured";
    /// <summary>The file is damaged; what could be read was used.</summary>
    public const string DamagedFile = "damaged-file";
    /// <summary>The upper bound lies under the pass line.</summary>
    public const string UnderPassLine = "under-pass-line";
    /// <summary>The lower bound lies over the fail line.</summary>
    public const string OverFailLine = "over-fail-line";
    /// <summary>Between the lines.</summary>
    public const string BetweenLines = "between-lines";
    /// <summary>A take could not be measured or a level has no take.</summary>
    public const string MissingTake = "missing-take";
    /// <summary>A sweep's steady stretches are not the levels that were listed.</summary>
    public const string SweepUnread = "sweep-unread";

    /// <summary>Whether this doubt says only that this one take may have missed flicker, not that something was seen that nobody understands.</summary>
    /// <remarks>Mixed frames are not among them: a camera that mixes does so in every take, and not in every one is it noticed.</remarks>
    public static bool IsOfMissing(string code) => code is ShortClip or Clipped or Dark or DamagedFile or LockedBands;
}
