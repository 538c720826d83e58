using System.Globalization;
using FlickerProbe.Validation.Cases;

namespace FlickerProbe.Validation;

/// <summary>The command line with which a person would have a case measured.</summary>
internal static class ProgramCall
{
    public static List<string> Arguments(ValidationCase c, string clip, string? reference, string? cube)
    {
        var (x, y, width, height) = c.DisplayedRegion;
        List<string> call = ["measure", clip, "--region", FormattableString.Invariant($"{x},{y},{width},{height}"), "--json", "-"];
        if (c.StatedExposureSeconds is { } exposure) call.AddRange(["--shutter", Seconds(exposure)]);
        string? readout = c.StatedReadoutSeconds is { } r ? r == 0 ? "global" : Seconds(r) : null;
        if (readout is not null) call.AddRange(["--readout", readout]);
        if (c.StatedRate is { } rate) call.AddRange(["--frame-rate", rate.ToString()]);
        if (reference is not null) call.AddRange(["--reference", reference]);
        if (cube is not null) call.AddRange(["--cube", cube]);
        if (c.StatedExposureSeconds is { } own)
        {
            string at = readout is null ? "" : "@" + readout;
            call.AddRange(["--format", $"{c.Recipe.FrameRate}@{Seconds(own)}{at}", "--format", $"{c.OtherFormat.Rate}@{Seconds(c.OtherFormat.ExposureSeconds)}{at}"]);
        }
        return call;
    }

    private static string Seconds(double seconds) => seconds.ToString("0.################", CultureInfo.InvariantCulture) + "s";
}
