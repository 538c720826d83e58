namespace FlickerProbe.Files.Decoding;

/// <summary>A rectangle of the coded picture, pixels.</summary>
internal readonly record struct CodedRect(int X, int Y, int Width, int Height)
{
    /// <summary>The smallest rectangle around both.</summary>
    public CodedRect Around(CodedRect other)
    {
        int left = Math.Min(X, other.X), top = Math.Min(Y, other.Y);
        return new(left, top, Math.Max(X + Width, other.X + other.Width) - left, Math.Max(Y + Height, other.Y + other.Height) - top);
    }

    /// <summary>Grown outwards so that left and top lie on whole samples of colour difference; cut at the picture's edge.</summary>
    public CodedRect OnWholeDifferenceSamples(PixelLayout pixels, int pictureWidth, int pictureHeight)
    {
        int stepX = 1 << pixels.DifferenceColumnShift, stepY = 1 << pixels.DifferenceRowShift;
        int left = X / stepX * stepX, top = Y / stepY * stepY;
        int right = Math.Min(pictureWidth, (X + Width + stepX - 1) / stepX * stepX), bottom = Math.Min(pictureHeight, (Y + Height + stepY - 1) / stepY * stepY);
        return new(left, top, right - left, bottom - top);
    }
}
