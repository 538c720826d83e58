namespace FlickerProbe.Cli;

/// <summary>Exit statuses of the program. Scripts read them: never renumber one.</summary>
public static class ExitStatus
{
    /// <summary>Measured, whatever the verdict; or help was shown.</summary>
    public const int Done = 0;

    /// <summary>The verdict is as bad as <c>--fail-on</c> names, or worse.</summary>
    public const int VerdictTooBad = 1;

    /// <summary>The call is wrong: an option, a setting that the clip contradicts, a file of settings, a place that can't be written to.</summary>
    public const int CallIsWrong = 2;

    /// <summary>The clip can't be read or holds nothing measurable.</summary>
    public const int NothingMeasurable = 3;

    /// <summary>A program that is needed (ffmpeg, ffprobe) is missing.</summary>
    public const int ProgramMissing = 4;

    /// <summary>A fault of flickerprobe itself (EX_SOFTWARE of BSD's sysexits.h).</summary>
    public const int InternalFault = 70;

    /// <summary>Interrupted by Ctrl-C or a request to end (128 + SIGINT, the shells' custom).</summary>
    public const int Interrupted = 130;
}
