namespace FlickerProbe.Files.Reports;
internal static class PdfReport { public static byte[] Write(string t, IReadOnlyList<Block> b, Paper p, DateTimeOffset? c, CancellationToken k) => throw new NotSupportedException(t + b + p + c + k); }
