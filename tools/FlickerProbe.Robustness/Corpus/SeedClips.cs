using System.Globalization;

namespace FlickerProbe.Robustness.Corpus;

/// <summary>A small sound clip from which damaged ones are made.</summary>
/// <param name="Name">Container and codec.</param>
/// <param name="Bytes">The file.</param>
/// <param name="Extension">With its dot.</param>
/// <param name="Moving">Whether it is a clip and no still picture.</param>
internal sealed record SeedClip(string Name, byte[] Bytes, string Extension, bool Moving);

/// <summary>One small clip of every container and codec that this ffmpeg can write, made once: a light that ripples by 30 % at 437 Hz, its bands
/// rolling, seen through a little noise.</summary>
internal static class SeedClips
{
    /// <summary>Rows and columns fit the oldest codecs; time is short, since a file is tried many times.</summary>
    public const string Size = "176x144";

    private const int Frames = 24;

    /// <summary>Container ending, muxer where the ending does not tell, codec, and what the codec needs.</summary>
    private static readonly (string Extension, string Codec, string More)[] Recipes =
    [
        ("mp4", "libx264", "-preset ultrafast -g 8"), ("mp4", "libx264", "-preset ultrafast -g 8 -movflags +faststart"), ("mp4", "libx264", "-preset ultrafast -movflags +frag_keyframe+empty_moov -g 6"),
        ("mp4", "libx265", "-preset ultrafast -x265-params log-level=error:pools=1"), ("mp4", "libx265", "-pix_fmt yuv420p10le -preset ultrafast -tag:v hvc1 -x265-params log-level=error:pools=1"),
        ("mp4", "libaom-av1", "-cpu-used 8 -row-mt 0"), ("mp4", "mpeg4", "-q:v 3"), ("mp4", "libvpx-vp9", "-deadline realtime -cpu-used 8"), ("mp4", "mjpeg", "-pix_fmt yuvj420p -q:v 3"), ("mp4", "png", ""),
        ("mov", "prores_ks", "-profile:v 2"), ("mov", "prores", ""), ("mov", "dnxhd", "-profile:v dnxhr_sq -s 256x144 -pix_fmt yuv422p"), ("mov", "qtrle", ""), ("mov", "rawvideo", "-pix_fmt uyvy422"), ("mov", "v210", "-pix_fmt yuv422p10le"),
        ("mov", "r210", ""), ("mov", "cfhd", "-pix_fmt yuv422p10le"), ("mov", "svq1", ""), ("mov", "rpza", ""), ("mov", "jpeg2000", ""), ("mov", "libx264", "-preset ultrafast -pix_fmt yuv422p10le"), ("mov", "hap", ""), ("mov", "v410", ""),
        ("mkv", "ffv1", "-level 3 -g 1"), ("mkv", "ffv1", "-level 3 -pix_fmt yuv422p10le"), ("mkv", "libx264", "-preset ultrafast -bf 2"), ("mkv", "libx265", "-preset ultrafast -x265-params log-level=error:pools=1"), ("mkv", "libvpx", "-deadline realtime -cpu-used 8"),
        ("mkv", "libvpx-vp9", "-deadline realtime -cpu-used 8"), ("mkv", "libsvtav1", "-preset 12"), ("mkv", "mpeg2video", "-q:v 3"), ("mkv", "libtheora", ""), ("mkv", "huffyuv", ""), ("mkv", "ffvhuff", ""), ("mkv", "utvideo", ""), ("mkv", "magicyuv", ""),
        ("mkv", "wmv2", ""), ("mkv", "snow", "-strict -2"), ("mkv", "vc2", "-strict -1"), ("mkv", "rawvideo", "-allow_raw_vfw 1"), ("mkv", "speedhq", "-strict -2 -pix_fmt yuv422p"),
        ("webm", "libvpx", "-deadline realtime -cpu-used 8"), ("webm", "libvpx-vp9", "-deadline realtime -cpu-used 8"), ("webm", "libaom-av1", "-cpu-used 8 -row-mt 0"),
        ("avi", "mpeg4", "-q:v 3"), ("avi", "libxvid", "-q:v 3"), ("avi", "mjpeg", "-pix_fmt yuvj420p"), ("avi", "huffyuv", ""), ("avi", "rawvideo", "-pix_fmt bgr24"), ("avi", "ffv1", ""), ("avi", "cinepak", ""), ("avi", "msvideo1", ""),
        ("avi", "zmbv", ""), ("avi", "asv1", ""), ("avi", "cljr", "-strict -2"), ("avi", "utvideo", ""), ("avi", "msmpeg4v2", ""), ("avi", "dvvideo", "-s 720x576 -pix_fmt yuv420p"), ("avi", "libx264", "-preset ultrafast"), ("avi", "flashsv", ""),
        ("ts", "libx264", "-preset ultrafast -g 8"), ("ts", "libx265", "-preset ultrafast -x265-params log-level=error:pools=1"), ("ts", "mpeg2video", ""), ("m2ts", "libx264", "-preset ultrafast"), ("mpg", "mpeg1video", ""), ("vob", "mpeg2video", ""),
        ("mxf", "mpeg2video", ""), ("mxf", "dnxhd", "-profile:v dnxhr_sq -s 256x144 -pix_fmt yuv422p"), ("mxf", "jpeg2000", ""), ("mxf", "prores_ks", ""), ("mxf", "libx264", "-preset ultrafast"),
        ("flv", "flv", ""), ("flv", "libx264", "-preset ultrafast"), ("wmv", "wmv2", ""), ("asf", "msmpeg4", ""), ("ogv", "libtheora", ""), ("nut", "ffv1", ""), ("rm", "rv10", ""), ("rm", "rv20", ""), ("wtv", "mpeg2video", ""),
        ("3gp", "h263", ""), ("3g2", "mpeg4", ""), ("ivf", "libvpx", "-deadline realtime -cpu-used 8"), ("ivf", "libaom-av1", "-cpu-used 8 -row-mt 0"), ("h264", "libx264", "-preset ultrafast"), ("hevc", "libx265", "-preset ultrafast -x265-params log-level=error:pools=1"),
        ("m4v", "mpeg4", ""), ("h263", "h263", ""), ("h261", "h261", ""), ("m1v", "mpeg1video", ""), ("m2v", "mpeg2video", ""), ("mjpg", "mjpeg", "-pix_fmt yuvj420p"), ("obu", "libaom-av1", "-cpu-used 8 -row-mt 0"), ("drc", "vc2", "-strict -1"),
        ("dv", "dvvideo", "-s 720x576 -pix_fmt yuv420p"), ("y4m", "wrapped_avframe", "-pix_fmt yuv420p"), ("y4m", "wrapped_avframe", "-pix_fmt yuv422p10le -strict -1"), ("gif", "gif", ""), ("apng", "apng", ""), ("swf", "flv", ""),
        ("dnxhd", "dnxhd", "-profile:v dnxhr_sq -s 256x144 -pix_fmt yuv422p"), ("roq", "roqvideo", "-s 176x144 -r 30"), ("webp", "libwebp_anim", ""), ("jxl", "libjxl", "-frames:v 1"),
        ("png", "png", "-frames:v 1"), ("png", "png", "-frames:v 1 -pix_fmt rgb48be"), ("jpg", "mjpeg", "-frames:v 1 -pix_fmt yuvj420p"), ("bmp", "bmp", "-frames:v 1"), ("tiff", "tiff", "-frames:v 1"), ("webp", "libwebp", "-frames:v 1"),
        ("dpx", "dpx", "-frames:v 1"), ("exr", "exr", "-frames:v 1"), ("jp2", "jpeg2000", "-frames:v 1"), ("ppm", "ppm", "-frames:v 1"), ("pgm", "pgm", "-frames:v 1"), ("pam", "pam", "-frames:v 1"), ("qoi", "qoi", "-frames:v 1"),
        ("sgi", "sgi", "-frames:v 1"), ("tga", "targa", "-frames:v 1"), ("pcx", "pcx", "-frames:v 1"), ("sun", "sunrast", "-frames:v 1"), ("jls", "jpegls", "-frames:v 1"), ("fits", "fits", "-frames:v 1"),
    ];

    /// <summary>The muxers that the ending alone does not choose.</summary>
    private static readonly Dictionary<string, string> Muxers = new()
    {
        ["m1v"] = "mpeg1video", ["m2v"] = "mpeg2video", ["mjpg"] = "mjpeg", ["h263"] = "h263", ["h261"] = "h261", ["wmv"] = "asf", ["dnxhd"] = "dnxhd", ["drc"] = "dirac", ["dv"] = "dv", ["obu"] = "obu",
    };

    /// <summary>Makes all that can be made; what can't is named.</summary>
    /// <param name="only">Names of the wanted ones; null for all.</param>
    public static (IReadOnlyList<SeedClip> Clips, IReadOnlyList<string> NotMade) Make(IReadOnlySet<string>? only = null)
    {
        string folder = Directory.CreateTempSubdirectory("robustness-seeds-").FullName;
        try
        {
            string master = Path.Combine(folder, "master.nut");
            Ffmpeg.Must(master, "-f", "lavfi", "-i", Light(Size, 0.3, Frames), "-c:v", "ffv1");
            List<SeedClip> clips = [];
            List<string> notMade = [];
            Lock gate = new();
            Parallel.For(0, Recipes.Length, new ParallelOptions { MaxDegreeOfParallelism = 2 }, n =>
            {
                (string extension, string codec, string more) = Recipes[n];
                string label = $"{extension} {codec}" + (more.Contains("movflags", StringComparison.Ordinal) ? " " + more[(more.IndexOf('+', StringComparison.Ordinal) + 1)..].Split(' ')[0] : more.Contains("10le", StringComparison.Ordinal) ? " 10-bit" : more.Contains("48be", StringComparison.Ordinal) ? " 16-bit" : "");
                if (only is not null && !only.Contains(label)) return;
                string target = Path.Combine(folder, string.Create(CultureInfo.InvariantCulture, $"{n}.{extension}"));
                IEnumerable<string> muxer = Muxers.TryGetValue(extension, out string? name) ? ["-f", name] : more.Contains("-frames:v 1", StringComparison.Ordinal) ? ["-f", "image2", "-update", "1"] : [];
                bool made = Ffmpeg.Run(target, ["-i", master, "-c:v", codec, "-threads", "1", .. more.Split(' ', StringSplitOptions.RemoveEmptyEntries), .. muxer]);
                lock (gate)
                {
                    if (made) clips.Add(new SeedClip(label, File.ReadAllBytes(target), "." + extension, !more.Contains("-frames:v 1", StringComparison.Ordinal)));
                    else notMade.Add(label);
                }
            });
            return ([.. clips.OrderBy(c => c.Name, StringComparer.Ordinal)], [.. notMade.Order(StringComparer.Ordinal)]);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    /// <summary>A wall under a light that ripples at 437 Hz, as a rolling sensor of 16 ms readout sees it at 25 frames a second, with a little noise.</summary>
    /// <param name="size">Picture size.</param>
    /// <param name="amplitude">Amplitude on camera, in signal terms about half of it; 0 for a steady light.</param>
    /// <param name="frames">How many.</param>
    public static string Light(string size, double amplitude, int frames) => string.Create(CultureInfo.InvariantCulture,
        $"nullsrc=s={size}:r=25,trim=end_frame={frames},format=gray,geq=lum='130*(1+{amplitude}*cos(2*PI*437*(T+0.016*Y/H)))',noise=alls=3:allf=t,format=yuv420p");
}
