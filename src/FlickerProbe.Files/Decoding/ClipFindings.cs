using System.Globalization;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;

namespace FlickerProbe.Files.Decoding;

/// <summary>What is doubtful about a clip file itself, before anything is measured in it.</summary>
internal static class ClipFindings
{
    /// <summary>Share of missing or damaged frames above which no pass may be given: the project's own choice.</summary>
    private const double ToleratedDamage = 0.03;

    public static List<Finding> Of(ClipInfo info, ClipRequest request, FieldOrder fields, FrameLog log, int frames, bool endedBadly)
    {
        var findings = new List<Finding>();
        if (info.Orientation != Orientation.Upright)
        {
            string turn = info.Orientation.RotationDegrees == 0 ? "mirrored" : string.Create(CultureInfo.InvariantCulture, $"turned by {info.Orientation.RotationDegrees} degrees");
            string rows = info.Orientation.SwapsAxes ? "so bands stand upright in it, and the readout time counts from side to side" : "and rows were taken as the sensor read them";
            findings.Add(new(FindingCodes.Rotated, $"The picture is shown {turn}, {rows}."));
        }
        if (info.TransferAssumed && request.Transfer is null && request.CubePath is null)
        {
            string why = info.TransferTag is null ? "does not say which transfer curve it was recorded with" : $"names the transfer curve '{info.TransferTag}', which is not known here";
            findings.Add(new(FindingCodes.AssumedTransfer, $"The clip {why}; {info.Transfer.Name} was assumed, and a log or other curve would make every depth wrong: name it with --transfer or give a table."));
        }
        if (fields != FieldOrder.Progressive)
            findings.Add(new(FindingCodes.Interlaced, "Each frame holds two fields taken half a frame apart; the fields were told apart by their rows."));
        if (info.Seconds is null && !info.IsStill && request.UserRate is null)
        {
            findings.Add(new(FindingCodes.VariableRate, string.Create(CultureInfo.InvariantCulture,
                $"The clip carries no time stamps, so {info.Rate!.ToShortText()} frames/s is only what its stream says and dropped frames can't be seen: give the camera's rate with --frame-rate.")));
        }
        if (Damage(info, log, frames, endedBadly) is { } damage) findings.Add(damage);
        return findings;
    }

    private static Finding? Damage(ClipInfo info, FrameLog log, int frames, bool endedBadly)
    {
        int missing = Math.Max(0, info.Packets - frames);
        (int top, int bottom) = log.Fields;
        // Two packets of one field each make one frame.
        if (top + bottom > frames / 2 && Math.Abs(info.Packets - 2 * frames) <= 2) missing = 0;
        // Some containers count an empty packet at the end; alone it is no damage.
        if (missing <= 1 && log.ComplaintCount == 0 && !endedBadly) return null;
        double share = Math.Max((double)missing / Math.Max(1, info.Packets), (double)log.ComplaintCount / Math.Max(1, frames));
        string what = missing > 0
            ? string.Create(CultureInfo.InvariantCulture, $"{missing} of {info.Packets} frames could not be decoded")
            : string.Create(CultureInfo.InvariantCulture, $"the decoder complained {log.ComplaintCount} times");
        return new Finding(FindingCodes.DamagedFile, $"The file is damaged: {what}, and what could be read was used; copy it from the camera again.")
        {
            ForbidsPass = share > ToleratedDamage,
        };
    }
}
