using System.Globalization;
using FlickerProbe.Bench.Clips;

namespace FlickerProbe.Bench.Racing;

/// <summary>What is raced.</summary>
/// <param name="clips">Makes the clips.</param>
/// <param name="flickerprobe">The program.</param>
/// <param name="rounds">Rounds of each race.</param>
internal sealed class Races(BenchClips clips, string flickerprobe, int rounds)
{
    private const int Takes = 12;

    /// <summary>The races, short ones first; clips are made when their race begins.</summary>
    public IEnumerable<Race> All(bool withLong)
    {
        yield return new Race("--help from the launcher, warm", new Goal(WallSeconds: 0.150), 3 * rounds, null, () => Racer.Time(flickerprobe, ["--help"]));

        foreach ((string what, Func<BenchClip> make, double whole, double quarter) in new (string, Func<BenchClip>, double, double)[]
        {
            ("1080p59.94 H.264, 30 s", () => clips.H264(), 1.15, 1.05),
            ("1080p59.94 H.264 without noise, 30 s", () => clips.H264WithoutNoise(), 1.15, 1.05),
            ("2160p29.97 H.264, 10 s", () => clips.H264Large(), 1.20, 1.05),
            ("2160p29.97 HEVC 10 bit, 10 s", () => clips.HevcLarge(), 1.20, 1.05),
            ("1080p29.97 ProRes 422, 10 s", () => clips.ProRes(), 1.20, 1.05),
        })
        {
            var clip = new Lazy<BenchClip>(make);
            yield return Against(what + ", whole frame, luma", clip, new Goal(whole, AfterLastFrameSeconds: 1), clip => Measure(clip, 1, "off"));
            yield return Against(what + ", a quarter of the frame, luma", clip, new Goal(quarter), clip => Measure(clip, 2, "off"));
        }
        var colour = new Lazy<BenchClip>(clips.H264);
        yield return Against("1080p59.94 H.264, 30 s, whole frame, red, green and blue", colour, new Goal(1.6), clip => Measure(clip, 1, "on"));

        yield return Against("1080p59.94 H.264, 30 s, regions found by the program, luma", colour, new Goal(), clip => Racer.Time(flickerprobe, ["measure", clip.Path, "--shutter", "1/1000", "--readout", "12ms", "--colour", "off", "--json", clip.Path + ".json"]));

        yield return Piped(colour);

        yield return Audition("luma", "off");
        yield return Audition("red, green and blue beside it", "auto");
        yield return AuditionAgain();
        if (!withLong) yield break;
        var three = new Lazy<BenchClip>(() => clips.Long(3));
        var thirty = new Lazy<BenchClip>(() => clips.Long(30));
        yield return Against("1080p29.97 H.264, 3 minutes, whole frame, luma", three, new Goal(PeakMegabytes: null), clip => Measure(clip, 1, "off"), 1);
        yield return Against("1080p29.97 H.264, 30 minutes, whole frame, luma", thirty, new Goal(PeakMegabytes: null), clip => Measure(clip, 1, "off"), 1);
    }

    // What it costs to hand the luma of every picture to another program at all, before that does anything with it.
    private Race Piped(Lazy<BenchClip> clip) => new("1080p59.94 H.264, 30 s: luma through a pipe to a program that throws it away", new Goal(PeakMegabytes: null), rounds,
        () => Racer.Time("ffmpeg", Decode(clip.Value.Path)),
        () => Racer.Time("sh", ["-c", "ffmpeg -nostdin -v error -i \"$0\" -map 0:v:0 -vf extractplanes=y -fps_mode passthrough -c:v wrapped_avframe -strict -1 -f yuv4mpegpipe - | dd bs=128k of=/dev/null 2>/dev/null", clip.Value.Path]));

    private Race Against(string name, Lazy<BenchClip> clip, Goal goal, Func<BenchClip, Run> ours, int? times = null) =>
        new(name, goal, times ?? rounds, () => Racer.Time("ffmpeg", Decode(clip.Value.Path)), () => ours(clip.Value));

    // What the goals were set against: the decoder alone, nothing written.
    private static string[] Decode(string clip) => ["-nostdin", "-v", "error", "-i", clip, "-map", "0:v:0", "-f", "null", "-"];

    /// <summary>Measures a region in the middle: the whole frame over its part, both ways.</summary>
    private Run Measure(BenchClip clip, int part, string colour)
    {
        int width = clip.Width / part, height = clip.Height / part;
        string region = string.Create(CultureInfo.InvariantCulture, $"{(clip.Width - width) / 2},{(clip.Height - height) / 2},{width},{height}");
        return Racer.Time(flickerprobe, ["measure", clip.Path, "--shutter", "1/1000", "--readout", "12ms", "--region", region, "--colour", colour, "--json", clip.Path + ".json"]);
    }

    private Race Audition(string what, string colour) => new($"audition of {Takes} such takes (1080p59.94 H.264, 30 s), two at a time, {what}", new Goal(1.15, PeakMegabytes: null), 1,
        () => Racer.TimeMany("ffmpeg", [.. clips.Evening(Takes).Clips.Select(Decode)], 2),
        () => Racer.Time(flickerprobe, ["audition", clips.Evening(Takes).File, "--out", clips.Evening(Takes).Report, "--anew", "--colour", colour]));

    private Race AuditionAgain()
    {
        int price = 100;
        return new Race("the same audition again after a change of price", new Goal(WallSeconds: 1, PeakMegabytes: null), rounds, null, () =>
        {
            BenchEvening evening = clips.Evening(Takes);
            evening.SetPrice(++price);
            // The measurements that are kept are made by the round that does not count.
            return Racer.Time(flickerprobe, ["audition", evening.File, "--out", evening.Report]);
        });
    }
}
