using System.Globalization;

namespace FlickerProbe.Robustness.Corpus;

/// <summary>Sound but unusual clips: sizes, counts, times, and what else may lie in a container.</summary>
internal static class OddClips
{
    private static readonly string[] Lossless = ["-c:v", "ffv1"];

    /// <summary>All of them.</summary>
    public static IEnumerable<Trial> All() => [.. Sizes(), .. Counts(), .. Times(), .. Changing(), .. Companions(), .. Steady()];

    private static IEnumerable<Trial> Sizes()
    {
        foreach (string size in new[] { "1x1", "2x1", "1x2", "3x5", "7x2000", "2000x7", "17x33", "175x143", "16384x2", "16384x16", "2x16384", "4096x4096" })
        {
            int frames = size == "4096x4096" ? 9 : 12;
            yield return Made("odd sizes", size, Bound.NeverPass, ".mkv", (target, _) => Ffmpeg.Must(target, ["-f", "lavfi", "-i", SeedClips.Light(size, 0.3, frames), .. Lossless])) with { Limit = TimeSpan.FromMinutes(2) };
        }
        yield return Made("odd sizes", "16384x16 mjpeg", Bound.NeverPass, ".avi", (target, _) => Ffmpeg.Must(target, "-f", "lavfi", "-i", SeedClips.Light("16384x16", 0.3, 12), "-pix_fmt", "yuvj420p", "-c:v", "mjpeg"));
        yield return Made("odd sizes", "8192 × 8192 still", Bound.AnyEnding, ".png", (target, _) => Ffmpeg.Must(target, "-f", "lavfi", "-i", "color=gray:s=8192x8192:d=1,format=gray", "-frames:v", "1")) with { Limit = TimeSpan.FromMinutes(2) };
    }

    private static IEnumerable<Trial> Counts()
    {
        foreach (int frames in new[] { 1, 2, 3, 7, 8, 9 })
        {
            foreach (string extension in new[] { ".mp4", ".mkv", ".mov", ".gif", ".ts", ".h264" })
            {
                yield return Made("few frames", string.Create(CultureInfo.InvariantCulture, $"{frames} in {extension}"), Bound.NeverPass, extension,
                    (target, _) => Ffmpeg.Must(target, ["-f", "lavfi", "-i", SeedClips.Light(SeedClips.Size, 0.3, frames), .. extension == ".gif" ? Array.Empty<string>() : ["-c:v", "libx264", "-preset", "ultrafast"]]));
            }
        }
        foreach (string extension in new[] { ".mp4", ".mkv", ".mov", ".avi", ".ts", ".mxf" })
        {
            yield return Made("no frames", extension, Bound.NeverPass, extension, (target, _) =>
            {
                // Some muxers write nothing without a picture; an empty file is then the honest case.
                if (!Ffmpeg.Run(target, "-f", "lavfi", "-i", SeedClips.Light(SeedClips.Size, 0.3, 3), "-vf", "select=0", "-c:v", extension == ".mxf" ? "mpeg2video" : "libx264")) File.WriteAllBytes(target, File.Exists(target) ? File.ReadAllBytes(target) : []);
            });
        }
        yield return Made("10^5 frames", "16 × 16, stored raw", Bound.NeverPass, ".avi", (target, _) => Ffmpeg.Must(target, "-f", "lavfi", "-i", SeedClips.Light("16x16", 0.3, 100_000), "-c:v", "rawvideo", "-pix_fmt", "yuv420p")) with { Limit = TimeSpan.FromMinutes(6) };
    }

    private static IEnumerable<Trial> Times()
    {
        foreach ((string name, string stamps) in new[]
        {
            ("all alike", "0"), ("backwards", "100-N"), ("backwards and forwards", "if(mod(N\\,2)\\,N*2\\,40-N)"), ("a gap of 100 frames", "if(gt(N\\,12)\\,N+100\\,N)"), ("a gap of 10^6 seconds", "if(gt(N\\,12)\\,N+25000000\\,N)"), ("gaps everywhere", "N*N"), ("from 10^9 on", "1000000000+N"),
            ("negative", "N-1000"), ("jitter of half a frame", "N*4+mod(N*7\\,3)"), ("two rates", "if(gt(N\\,12)\\,12+(N-12)*2\\,N)"), ("each twice", "floor(N/2)"), ("none but every third", "if(mod(N\\,3)\\,NOPTS\\,N)"),
        })
        {
            foreach (string extension in new[] { ".nut", ".mkv", ".mov", ".ts" })
            {
                // What a muxer refuses to write as it is can't come from it either: it is then written as close as it goes.
                yield return Made("odd time stamps", $"{name} in {extension}", Bound.NeverPass, extension, (target, seed) =>
                {
                    string[] codec = extension == ".ts" ? ["-c:v", "mpeg2video"] : ["-c:v", "mjpeg", "-pix_fmt", "yuvj420p"];
                    bool made = Ffmpeg.Run(target, ["-i", seed, .. codec, "-bf", "0", "-fps_mode", "passthrough", "-bsf:v", $"setts=pts={stamps}:dts={stamps}"]);
                    if (!made && !File.Exists(target)) File.WriteAllBytes(target, [0]);
                });
            }
        }
        foreach (string extension in new[] { ".h264", ".hevc", ".mjpeg", ".m2v", ".obu" })
        {
            yield return Made("no time stamps", extension, Bound.NeverPass, extension, (target, _) => Ffmpeg.Must(target, ["-f", "lavfi", "-i", SeedClips.Light(SeedClips.Size, 0.3, 24), .. extension == ".obu" ? ["-c:v", "libaom-av1", "-cpu-used", "8"] : extension == ".hevc" ? ["-c:v", "libx265", "-x265-params", "log-level=error"] : extension == ".mjpeg" ? ["-pix_fmt", "yuvj420p"] : Array.Empty<string>()]));
        }
        foreach (string rate in new[] { "1", "1/10", "1000", "100000", "1000000", "30000/1001", "1/1000", "123457/4321" })
        {
            yield return Made("odd rates", rate, Bound.NeverPass, ".mkv", (target, seed) => Ffmpeg.Must(target, ["-r", rate, "-i", seed, "-fps_mode", "passthrough", .. Lossless]));
            yield return Made("odd rates", rate + " raw", Bound.NeverPass, ".nut", (target, seed) => Ffmpeg.Must(target, ["-r", rate, "-i", seed, "-fps_mode", "passthrough", .. Lossless]));
        }
    }

    private static IEnumerable<Trial> Changing()
    {
        foreach ((string name, string first, string second, string extension, string[] codec) in new (string, string, string, string, string[])[]
        {
            ("mpeg-2", "176x144", "352x288", ".ts", ["-c:v", "mpeg2video"]), ("h264", "176x144", "64x64", ".h264", ["-c:v", "libx264"]), ("h264 in ts", "352x288", "176x144", ".ts", ["-c:v", "libx264"]), ("mjpeg", "176x144", "200x100", ".mjpeg", ["-pix_fmt", "yuvj420p"]), ("hevc", "176x144", "208x160", ".hevc", ["-c:v", "libx265", "-x265-params", "log-level=error"]),
            ("mpeg-4", "176x144", "352x288", ".m4v", ["-c:v", "mpeg4", "-f", "m4v"]),
        })
        {
            yield return Made("picture size changes", name, Bound.Refused, extension, (target, _) =>
            {
                string other = target + ".second" + extension;
                Ffmpeg.Must(target, ["-f", "lavfi", "-i", SeedClips.Light(first, 0.3, 12), .. codec]);
                Ffmpeg.Must(other, ["-f", "lavfi", "-i", SeedClips.Light(second, 0.3, 12), .. codec]);
                File.WriteAllBytes(target, [.. File.ReadAllBytes(target), .. File.ReadAllBytes(other)]);
                File.Delete(other);
            });
        }
    }

    private static IEnumerable<Trial> Companions()
    {
        string[] h264 = ["-c:v", "libx264", "-preset", "ultrafast"];
        yield return Made("companions", "attachment in mkv", Bound.Measured, ".mkv", (target, seed) => Ffmpeg.Must(target, ["-i", seed, .. h264, "-attach", Text(target, "notes.txt", "buy tape"), "-metadata:s:t", "mimetype=text/plain"]));
        yield return Made("companions", "attachment that calls itself a font with a path", Bound.Measured, ".mkv", (target, seed) => Ffmpeg.Must(target, ["-i", seed, .. h264, "-attach", Text(target, "notes.txt", "buy tape"), "-metadata:s:t", "mimetype=application/x-truetype-font", "-metadata:s:t", "filename=../../escaped.ttf"]));
        foreach ((string extension, string codec) in new[] { (".mkv", "srt"), (".mkv", "ass"), (".mp4", "mov_text"), (".mov", "mov_text"), (".webm", "webvtt") })
        {
            yield return Made("companions", $"subtitles {codec} in {extension}", Bound.Measured, extension, (target, seed) => Ffmpeg.Must(target,
                ["-i", seed, "-i", Text(target, "s.srt", "1\n00:00:00,000 --> 00:00:00,500\n<b>{\\an8}hello</b>\n\n"), "-map", "0", "-map", "1", .. extension == ".webm" ? ["-c:v", "libvpx", "-deadline", "realtime"] : h264, "-c:s", codec]));
        }
        yield return Made("companions", "sound before the picture", Bound.Measured, ".mp4", (target, seed) => Ffmpeg.Must(target, ["-f", "lavfi", "-i", "sine=d=1", "-i", seed, "-map", "0", "-map", "1", .. h264]));
        yield return Made("companions", "two pictures", Bound.Measured, ".mkv", (target, seed) => Ffmpeg.Must(target, ["-i", seed, "-i", seed, "-map", "0", "-map", "1", .. h264]));
        yield return Made("companions", "a cover before the picture", Bound.Measured, ".mp4", (target, seed) =>
        {
            string cover = target + ".jpg";
            Ffmpeg.Must(cover, "-f", "lavfi", "-i", "testsrc2=s=32x32", "-frames:v", "1", "-pix_fmt", "yuvj420p");
            Ffmpeg.Must(target, ["-i", cover, "-i", seed, "-map", "0", "-map", "1", "-c:v:0", "mjpeg", "-disposition:v:0", "attached_pic", "-c:v:1", "libx264"]);
        });
        yield return Made("companions", "chapters and tags with markup and control characters", Bound.Measured, ".mkv", (target, seed) => Ffmpeg.Must(target,
            ["-i", seed, "-i", Text(target, "meta.txt", ";FFMETADATA1\ntitle=<script>alert(1)</script>\nartist=\u001b[31mred\u202Ederutan\ncomment=\"}]\\u0000\n[CHAPTER]\nTIMEBASE=1/1000\nSTART=0\nEND=500\ntitle=one\n"), "-map_metadata", "1", "-map_chapters", "1", .. h264]));
        yield return Made("companions", "tags that are not UTF-8", Bound.Measured, ".avi", (target, seed) =>
        {
            Ffmpeg.Must(target, ["-i", seed, "-c:v", "mjpeg", "-pix_fmt", "yuvj420p", "-metadata", "title=QQQQQQQQ"]);
            byte[] bytes = File.ReadAllBytes(target);
            int at = bytes.AsSpan().IndexOf("QQQQQQQQ"u8);
            bytes.AsSpan(at, 8).Fill(0xE4);
            File.WriteAllBytes(target, bytes);
        });
        yield return Made("companions", "an alpha channel", Bound.Measured, ".mov", (target, seed) => Ffmpeg.Must(target, "-i", seed, "-c:v", "prores_ks", "-profile:v", "4444", "-pix_fmt", "yuva444p10le"));
        yield return Made("companions", "8000 tags", Bound.Measured, ".mkv", (target, seed) => Ffmpeg.Must(target,
            ["-i", seed, "-i", Text(target, "meta.txt", ";FFMETADATA1\n" + string.Concat(Enumerable.Range(0, 8000).Select(n => $"key{n}={new string('x', 100)}\n"))), "-map_metadata", "1", .. h264]));
        yield return Made("companions", "rubbish before and after", Bound.NeverPass, ".ts", (target, seed) =>
        {
            Ffmpeg.Must(target, "-i", seed, "-c:v", "mpeg2video");
            byte[] rubbish = new byte[3000];
            new Random(3).NextBytes(rubbish);
            File.WriteAllBytes(target, [.. rubbish, .. File.ReadAllBytes(target), .. rubbish]);
        });
    }

    /// <summary>A steady light that earns its pass when whole: pictures that went missing must be spoken of.</summary>
    private static IEnumerable<Trial> Steady()
    {
        foreach ((string extension, string[] codec) in new (string, string[])[] { (".mkv", ["-c:v", "ffv1", "-g", "1"]), (".ts", ["-c:v", "libx264", "-qp", "0", "-preset", "ultrafast", "-g", "10"]), (".avi", ["-c:v", "ffv1", "-g", "1"]), (".mp4", ["-c:v", "libx264", "-qp", "0", "-preset", "ultrafast", "-g", "10", "-movflags", "+faststart"]) })
        {
            for (int n = 0; n < 12; n++)
            {
                int number = n;
                yield return new Trial("a steady light, damaged", string.Create(CultureInfo.InvariantCulture, $"{extension} {n}"), Bound.PassOnlyWithWarning, folder =>
                {
                    string clip = Path.Combine(folder, "clip" + extension);
                    Ffmpeg.Must(clip, ["-f", "lavfi", "-i", SeedClips.Light("64x48", 0, 150), .. codec]);
                    byte[] bytes = File.ReadAllBytes(clip);
                    File.WriteAllBytes(clip, number == 0 ? bytes : number < 5 ? bytes[..(bytes.Length * number / 5)] : ByteDamage.Apply(bytes, number % 2 == 0 ? "a hundred bytes" : "noise block", number));
                    return DamagedClips.Call(folder, clip, "--region", "4,4,56,40", "--transfer", "bt709");
                });
            }
        }
    }

    private static string Text(string target, string name, string text)
    {
        string path = Path.Combine(Path.GetDirectoryName(target)!, name);
        File.WriteAllText(path, text);
        return path;
    }

    private static Trial Made(string group, string name, Bound bound, string extension, Action<string, string> make) => new(group, name, bound, folder =>
    {
        string seed = Path.Combine(folder, "seed.nut"), clip = Path.Combine(folder, "clip" + extension);
        Ffmpeg.Must(seed, ["-f", "lavfi", "-i", SeedClips.Light(SeedClips.Size, 0.3, 24), .. Lossless]);
        make(clip, seed);
        return DamagedClips.Call(folder, clip);
    });
}
