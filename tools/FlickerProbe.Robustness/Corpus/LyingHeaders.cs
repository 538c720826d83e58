using System.Buffers.Binary;
using System.Text;

namespace FlickerProbe.Robustness.Corpus;

/// <summary>Files whose heads state what is not so: sizes, rates, durations, counts, rotation, colour tags.</summary>
internal static class LyingHeaders
{
    private const string Class = "lying headers";

    /// <summary>All lies.</summary>
    public static IEnumerable<Trial> All(IReadOnlyList<SeedClip> seeds)
    {
        SeedClip mp4 = seeds.First(s => s.Name == "mp4 libx264"), mov = seeds.First(s => s.Name == "mov prores_ks");
        foreach ((string lie, Func<byte[], byte[]> tell) in BoxLies)
        {
            yield return Lie($"mp4: {lie}", ".mp4", () => tell(mp4.Bytes));
            yield return Lie($"mov: {lie}", ".mov", () => tell(mov.Bytes));
        }
        foreach ((string name, string extension, Func<byte[]> make) in OtherLies(seeds)) yield return Lie(name, extension, make);
        foreach (Trial trial in Tags(mp4)) yield return trial;
    }

    private static Trial Lie(string name, string extension, Func<byte[]> make) => new(Class, name, Bound.NeverPass, folder =>
    {
        string clip = Path.Combine(folder, "clip" + extension);
        File.WriteAllBytes(clip, make());
        return DamagedClips.Call(folder, clip);
    });

    // Offsets into version 0 boxes, which ffmpeg writes: ISO/IEC 14496-12.
    private static IEnumerable<(string, Func<byte[], byte[]>)> BoxLies =>
    [
        ("time scale 0", b => Boxes.With(b, "mdhd", 12, 0)), ("time scale 1", b => Boxes.With(b, "mdhd", 12, 1)), ("time scale 2^32-1", b => Boxes.With(b, "mdhd", 12, uint.MaxValue)),
        ("duration 0", b => Boxes.With(b, "mdhd", 16, 0)), ("duration 2^32-1", b => Boxes.With(b, "mdhd", 16, uint.MaxValue)), ("film time scale 0", b => Boxes.With(b, "mvhd", 12, 0)),
        ("frame duration 0", b => Boxes.With(b, "stts", 12, 0)), ("frame duration 1", b => Boxes.With(b, "stts", 12, 1)), ("frame duration 2^31", b => Boxes.With(b, "stts", 12, 0x8000_0000)), ("frame duration negative", b => Boxes.With(b, "stts", 12, 0xFFFF_FF00)),
        ("2^32-1 frames of one duration", b => Boxes.With(b, "stts", 8, uint.MaxValue)), ("no durations", b => Boxes.With(b, "stts", 4, 0)), ("2^32-1 durations", b => Boxes.With(b, "stts", 4, uint.MaxValue)),
        ("frames of 2^31 bytes", b => Boxes.With(b, "stsz", 12, 0x7FFF_FFFF)), ("frames of one stated size", b => Boxes.With(b, "stsz", 4, 100_000_000)), ("2^32-1 frame sizes", b => Boxes.With(b, "stsz", 8, uint.MaxValue)), ("one frame", b => Boxes.With(b, "stsz", 8, 1)), ("no frames", b => Boxes.With(b, "stsz", 8, 0)),
        ("chunk beyond the end", b => Boxes.With(b, "stco", 8, 0x7FFF_FFFF)), ("chunk in the head", b => Boxes.With(b, "stco", 8, 0)), ("2^32-1 chunks", b => Boxes.With(b, "stco", 4, uint.MaxValue)), ("2^31 frames a chunk", b => Boxes.With(b, "stsc", 12, 0x7FFF_FFFF)),
        ("65535 wide", b => Boxes.With(b, "stsd", 8 + 32, 0xFF, 0xFF)), ("65535 × 65535", b => Boxes.With(b, "stsd", 8 + 32, 0xFF, 0xFF, 0xFF, 0xFF)), ("0 × 0", b => Boxes.With(b, "stsd", 8 + 32, 0, 0, 0, 0)), ("another code", b => Boxes.With(b, "stsd", 8 + 4, "hvc1"u8.ToArray())), ("an unknown code", b => Boxes.With(b, "stsd", 8 + 4, "zzzz"u8.ToArray())), ("a code of zeros", b => Boxes.With(b, "stsd", 8 + 4, 0, 0, 0, 0)),
        ("display matrix of zeros", b => Boxes.With(b, "tkhd", 40, new byte[36])), ("display matrix all ones", b => Boxes.With(b, "tkhd", 40, [.. Enumerable.Repeat((byte)0xFF, 36)])), ("turned by 45°", b => Boxes.With(Boxes.With(Boxes.With(Boxes.With(b, "tkhd", 40, 46341), "tkhd", 44, 46341), "tkhd", 52, unchecked((uint)-46341)), "tkhd", 56, 46341)),
        ("track of sound", b => Boxes.With(b, "hdlr", 8, "soun"u8.ToArray())), ("track of subtitles", b => Boxes.With(b, "hdlr", 8, "sbtl"u8.ToArray())), ("index of size 8", b => Boxes.With(b, "moov", -8, 8)), ("index of size 0", b => Boxes.With(b, "moov", -8, 0)), ("index of size 1", b => Boxes.With(b, "moov", -8, 1)), ("track of 4 GiB", b => Boxes.With(b, "trak", -8, uint.MaxValue)),
    ];

    private static IEnumerable<(string Name, string Extension, Func<byte[]> Make)> OtherLies(IReadOnlyList<SeedClip> seeds)
    {
        byte[] y4m = Of("y4m wrapped_avframe"), avi = Of("avi rawvideo"), png = Of("png png"), gif = Of("gif gif"), bmp = Of("bmp bmp"), ivf = Of("ivf libvpx"), mkv = Of("mkv ffv1"), ppm = Of("ppm ppm"), tiff = Of("tiff tiff");
        foreach (string head in new[]
        {
            "YUV4MPEG2 W176 H144 F0:1", "YUV4MPEG2 W176 H144 F1:0", "YUV4MPEG2 W176 H144 F0:0", "YUV4MPEG2 W176 H144 F-25:1", "YUV4MPEG2 W176 H144 F99999999:1", "YUV4MPEG2 W176 H144 F1:99999999", "YUV4MPEG2 W176 H144",
            "YUV4MPEG2 W999999 H144 F25:1", "YUV4MPEG2 W-1 H-1 F25:1", "YUV4MPEG2 W0 H0 F25:1", "YUV4MPEG2 W2147483647 H2147483647 F25:1", "YUV4MPEG2 W1 H1 F25:1", "YUV4MPEG2 W176 H144 F25:1 C444p16", "YUV4MPEG2 W176 H144 F25:1 Cmono", "YUV4MPEG2 W176 H144 F25:1 Cnone", "YUV4MPEG2 W176 H144 F25:1 Im", "YUV4MPEG2",
        })
        {
            yield return ($"y4m: '{head}'", ".y4m", () => [.. Encoding.ASCII.GetBytes(head + "\n"), .. y4m[(Array.IndexOf(y4m, (byte)'\n') + 1)..]]);
        }
        int avih = Index(avi, "avih") + 8, strh = Index(avi, "strh") + 8, strf = Index(avi, "strf") + 8;
        foreach ((string lie, int at, uint number) in new (string, int, uint)[]
        {
            ("0 µs a frame", avih, 0u), ("2^32-1 µs a frame", avih, uint.MaxValue), ("rate 0", strh + 24, 0u), ("scale 0", strh + 20, 0u), ("rate 2^32-1", strh + 24, uint.MaxValue), ("0 frames", avih + 16, 0u), ("2^32-1 frames", avih + 16, uint.MaxValue), ("0 streams", avih + 24, 0u), ("1000 streams", avih + 24, 1000u),
            ("width 2^31-1", strf + 4, int.MaxValue), ("height negative", strf + 8, unchecked((uint)-144)), ("height -2^31", strf + 8, 0x8000_0000), ("0 bits a pixel", strf + 14, 0u), ("33 bits a pixel", strf + 14, 33u), ("code unknown", strf + 16, 0x5A5A5A5A),
        })
        {
            yield return ($"avi: {lie}", ".avi", () => Little(avi, at, number));
        }
        foreach ((string lie, uint width, uint height) in new[] { ("1 × 2^31-1", 1u, (uint)int.MaxValue), ("2^31-1 × 2^31-1", (uint)int.MaxValue, (uint)int.MaxValue), ("0 × 0", 0u, 0u), ("100000 × 100000", 100_000u, 100_000u), ("30000 × 30000", 30_000u, 30_000u) })
        {
            yield return ($"png: {lie}", ".png", () => Big(Big(png, 16, width), 20, height));
            yield return ($"bmp: {lie}", ".bmp", () => Little(Little(bmp, 18, width), 22, height));
            yield return ($"ppm: {lie}", ".ppm", () => [.. Encoding.ASCII.GetBytes($"P6\n{width} {height}\n255\n"), .. ppm[20..]]);
        }
        yield return ("gif: 65535 × 65535", ".gif", () => { byte[] c = [.. gif]; c.AsSpan(6, 4).Fill(0xFF); return c; });
        yield return ("ivf: rate 0", ".ivf", () => Little(ivf, 16, 0));
        yield return ("ivf: scale 0", ".ivf", () => Little(ivf, 20, 0));
        yield return ("ivf: head of 65535 bytes", ".ivf", () => { byte[] c = [.. ivf]; c.AsSpan(6, 2).Fill(0xFF); return c; });
        yield return ("ivf: a frame of 4 GiB", ".ivf", () => Little(ivf, 32, uint.MaxValue));
        yield return ("tiff: directory beyond the end", ".tiff", () => Little(tiff, 4, int.MaxValue));
        yield return ("tiff: directory in a circle", ".tiff", () => Little(tiff, 4, 4));
        // Matroska's time scale in nanoseconds: element 2AD7B1 of three bytes.
        int scale = Index(mkv, [0x2A, 0xD7, 0xB1]) + 4;
        foreach ((string lie, byte[] value) in new (string, byte[])[] { ("0", [0, 0, 0]), ("1 ns", [0, 0, 1]), ("16 ms", [0xFF, 0xFF, 0xFF]) }) yield return ($"mkv: time scale {lie}", ".mkv", () => Put(mkv, scale, value));
        // A stream under another container's name: the content decides.
        foreach ((string name, string extension) in new[] { ("mp4 libx264", ".avi"), ("mkv ffv1", ".mp4"), ("png png", ".mp4"), ("jpg mjpeg", ".png"), ("gif gif", ".txt"), ("ts libx264", ".m3u8"), ("mp4 libx264", ".ffconcat"), ("h264 libx264", ".jpg"), ("y4m wrapped_avframe", ""), ("webp libwebp", ".mov") })
            yield return ($"{name} called '{extension}'", extension, () => Of(name));

        byte[] Of(string name) => seeds.First(s => s.Name == name).Bytes;
    }

    private static IEnumerable<Trial> Tags(SeedClip mp4)
    {
        // Valid streams whose tags say something unusual: rewritten by ffmpeg's own bit stream filter, pictures untouched.
        foreach (string tags in new[]
        {
            "transfer_characteristics=16", "transfer_characteristics=18", "transfer_characteristics=8", "transfer_characteristics=0", "transfer_characteristics=3", "transfer_characteristics=200", "transfer_characteristics=11",
            "matrix_coefficients=0", "matrix_coefficients=3", "matrix_coefficients=200", "matrix_coefficients=8", "colour_primaries=0", "colour_primaries=250", "video_full_range_flag=1", "video_format=7",
            "crop_left=40:crop_right=40", "crop_top=70:crop_bottom=70", "sample_aspect_ratio=1/65535", "sample_aspect_ratio=65535/1", "tick_rate=1", "tick_rate=100000", "tick_rate=1/1000", "rotate=45", "rotate=90:flip=horizontal", "level=10", "overscan_appropriate_flag=1",
        })
        {
            yield return new Trial(Class, $"h264 tags: {tags}", Bound.NeverPass, folder =>
            {
                string sound = Path.Combine(folder, "sound.mp4"), clip = Path.Combine(folder, "clip.mp4");
                File.WriteAllBytes(sound, mp4.Bytes);
                Ffmpeg.Must(clip, "-i", sound, "-c", "copy", "-bsf:v", "h264_metadata=" + tags);
                return DamagedClips.Call(folder, clip);
            });
        }
    }

    private static int Index(byte[] file, string word) => Index(file, Encoding.ASCII.GetBytes(word));

    private static int Index(byte[] file, byte[] word) => file.AsSpan().IndexOf(word) is >= 0 and var at ? at : throw new InvalidOperationException("Not there.");

    private static byte[] Put(byte[] file, int at, byte[] bytes)
    {
        byte[] copy = [.. file];
        bytes.CopyTo(copy, at);
        return copy;
    }

    private static byte[] Little(byte[] file, int at, uint number)
    {
        byte[] copy = [.. file];
        BinaryPrimitives.WriteUInt32LittleEndian(copy.AsSpan(at), number);
        return copy;
    }

    private static byte[] Big(byte[] file, int at, uint number)
    {
        byte[] copy = [.. file];
        BinaryPrimitives.WriteUInt32BigEndian(copy.AsSpan(at), number);
        return copy;
    }
}
